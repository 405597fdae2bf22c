"""The form of the gateway that text messages go out by."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from jobs import places, telephones
from jobs.models import Workshop
from notifications import gateway, outward, texting
from notifications.gateway import BadTemplate, Gateway
from notifications.gsm import is_inside
from notifications.models import TextGateway
from portal.office.fields import WholeField
from portal.office.forms import Plain
from portal.office.holiday_places import country_name

SAMPLE = "+441632960142", 'It is ready: "your camera" & more\n50 %'
PLAIN = {"autocomplete": "off", "autocapitalize": "off", "spellcheck": "false"}
MOST_COUNTRIES = 40
KEPT = ("url", "kind", "body", "header", "sender", "countries", "daily_most")


class CountriesField(forms.CharField):
    """ "GB, IE": codes of countries (ISO 3166-1), as a list."""

    def clean(self, value: Any) -> list[str]:
        codes = [code.upper() for code in super().clean(value).replace(";", ",").replace(",", " ").split()]
        for code in codes:
            if not (len(code) == 2 and code.isascii() and country_name(code) != code):
                raise ValidationError(
                    _("%(code)s is no country. Write two letters for each: GB, IE.") % {"code": code[:20]}
                )
        if len(codes) > MOST_COUNTRIES:
            raise ValidationError(_("So many countries are an invitation to be made to pay. Leave out some."))
        return list(dict.fromkeys(codes))

    def prepare_value(self, value: Any) -> Any:
        return ", ".join(value) if isinstance(value, list) else value


class TextsForm(Plain):
    """An empty address: no text messages."""

    url = forms.CharField(
        label=gettext_lazy("Address of the gateway"),
        max_length=300,
        required=False,
        widget=forms.TextInput(attrs=PLAIN | {"inputmode": "url"}),
        help_text=gettext_lazy(
            "https only. The provider’s instructions call it endpoint, or URL to send to."
        ),
    )
    kind = forms.ChoiceField(
        label=gettext_lazy("Kind of body"),
        choices=TextGateway.Body.choices,
        widget=forms.RadioSelect,
        required=False,
    )
    body = forms.CharField(
        label=gettext_lazy("Body"),
        max_length=2000,
        required=False,
        widget=forms.Textarea(attrs=PLAIN | {"rows": 4}),
        help_text=gettext_lazy(
            "{to} is the number, {digits} the number without +, {text} the words, {sender} and {secret} what stands below."
        ),
    )
    header = forms.CharField(
        label=gettext_lazy("Header that proves who we are"),
        max_length=300,
        required=False,
        widget=forms.TextInput(attrs=PLAIN),
        help_text=gettext_lazy(
            "Authorization: Bearer {secret}. Or, for user:password as the secret: Authorization: Basic {basic}."
        ),
    )
    # Comes back to who typed it, over the same private page, so that a slip elsewhere does not cost it.
    secret = forms.CharField(
        label=gettext_lazy("Secret"),
        max_length=500,
        required=False,
        widget=forms.PasswordInput(render_value=True, attrs={"autocomplete": "off"}),
    )
    sender = forms.CharField(
        label=gettext_lazy("Sender"),
        max_length=20,
        required=False,
        widget=forms.TextInput(attrs=PLAIN),
        help_text=gettext_lazy(
            "A number of yours, or a name of up to 11 letters where your country allows names."
        ),
    )
    countries = CountriesField(
        label=gettext_lazy("Countries that we write to"), max_length=200, required=False
    )
    daily_most = WholeField(label=gettext_lazy("Most messages in a day"), least=1, most=1000, required=False)
    number = forms.CharField(
        label=gettext_lazy("A number of yours, for the test"),
        max_length=40,
        required=False,
        widget=forms.TextInput(attrs={"autocomplete": "off", "inputmode": "tel"}),
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.own = places.country_of(Workshop.objects.current())
        own = _("Two letters for each: GB, IE. Empty: only our own country, %(own)s.") % {
            "own": country_name(self.own)
        }
        self.fields["countries"].help_text = own if self.own else _("Two letters for each: GB, IE.")

    def clean_url(self) -> str:
        url: str = self.cleaned_data["url"]
        try:
            return outward.check(url) if url else ""
        except (outward.NotAllowed, ValueError):
            raise ValidationError(
                _(
                    "Write an address that begins with https:// and leads to a public machine, without a password in it."
                )
            ) from None

    def clean_sender(self) -> str:
        sender: str = self.cleaned_data["sender"]
        if not is_inside(sender) or not sender.isprintable():
            raise ValidationError(_("Plain letters and figures only."))
        return sender

    def clean_number(self) -> str:
        number: str = self.cleaned_data["number"]
        if not number:
            return ""
        try:
            return telephones.for_texts(number, self.own)
        except ValueError:
            raise ValidationError(_("This does not look like the number of a mobile telephone.")) from None

    def clean(self) -> dict[str, Any]:
        told = super().clean() or {}
        if not told.get("url"):
            if "url" not in self.errors and any(told.get(name) for name in ("secret", "header", "sender")):
                self.add_error("url", ValidationError(_("Where do text messages go?")))
            return told
        told["kind"] = told.get("kind") or TextGateway.Body.JSON
        told["daily_most"] = told.get("daily_most") or 50
        if not {"body", "header", "secret", "sender"} & set(self.errors):
            self._check_templates(told)
        return told

    def gateway(self) -> Gateway:
        told = self.cleaned_data
        secret = told["secret"] or texting.kept_secret(told["url"])
        return Gateway(told["url"], told["kind"], told["body"], told["header"], secret, told["sender"])

    def row(self) -> dict[str, Any]:
        """Values for the fields of TextGateway, without the secret."""
        return {name: self.cleaned_data[name] for name in KEPT}

    def _check_templates(self, told: dict[str, Any]) -> None:
        """By filling them with a sample, as they will be filled."""
        door = self.gateway()
        if not door.secret and any(
            place in told["body"] + told["header"] for place in ("{secret}", "{basic}")
        ):
            self.add_error("secret", ValidationError(_("Type the secret of this gateway.")))
        try:
            gateway.filled(door, *SAMPLE)
            if "{text}" not in told["body"] or not ("{to}" in told["body"] or "{digits}" in told["body"]):
                raise BadTemplate("body", "places")
            gateway.header_of(door)
        except BadTemplate as wrong:
            self.add_error(wrong.field, ValidationError(_wrong(wrong.field, told["kind"])))


def _wrong(field: str, kind: str) -> str:
    if field == "header":
        return _(
            "A header reads Name: value, in plain letters, and the secret has no line ends. Some names are ours alone."
        )
    if kind == TextGateway.Body.JSON:
        return _(
            'With its places filled this has to be JSON, for example {"to": "{to}", "text": "{text}"} with the quotation marks.'
        )
    return _("This reads like to={to}&text={text}.")
