"""How a mailbox is typed in: the one that letters go out by, and what any mailbox asks for."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from notifications.models import MailAccount
from portal.office.fields import WholeField
from portal.office.forms import Plain


class MailboxForm(Plain):
    """All empty: none. Once one of `begins` is filled in, each of `needed` has to be. Which server, and how it speaks, each says itself."""

    begins: tuple[str, ...] = ("host", "user", "mail_password")
    needed: dict[str, Promise] = {}

    port = WholeField(label=_("Port"), least=1, most=65_535, required=False)
    user = forms.CharField(
        label=_("User name"),
        max_length=254,
        required=False,
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )
    # Comes back to who typed it, over the same private page, so that a slip elsewhere does not cost it.
    mail_password = forms.CharField(
        label=_("Password of the mailbox"),
        max_length=254,
        required=False,
        strip=False,
        widget=forms.PasswordInput(render_value=True, attrs={"autocomplete": "off"}),
    )

    def clean(self) -> dict[str, Any]:
        told = super().clean() or {}
        if any(told.get(name) for name in self.begins):
            for name, sentence in self.needed.items():
                if name not in self.errors and not told.get(name):
                    self.add_error(name, ValidationError(sentence))
        return told


class MailForm(MailboxForm):
    """The mailbox that letters go out by. All empty: the one that the environment names (SMTP_URL)."""

    field_order = ["host", "port", "security", "user", "mail_password", "from_address"]
    needed = {
        "host": _("Which server takes the letters?"),
        "port": _("Usually 587 with STARTTLS, 465 with TLS."),
        "security": _("Your mail provider tells you which."),
        "from_address": _("Which address do letters come from?"),
    }

    host = forms.CharField(
        label=_("Mail server"),
        max_length=255,
        required=False,
        help_text=_("smtp.example.org. Your mail provider tells you."),
    )
    security = forms.ChoiceField(
        label=_("Security"), choices=MailAccount.Security.choices, widget=forms.RadioSelect, required=False
    )
    from_address = forms.EmailField(
        label=_("Letters come from"), required=False, help_text=_("The address that customers see.")
    )

    def account(self) -> dict[str, Any]:
        """Values for the fields of MailAccount, without the password."""
        return {
            name: self.cleaned_data[name] for name in ("host", "port", "security", "user", "from_address")
        }
