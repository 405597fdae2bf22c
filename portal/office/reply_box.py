"""The settings of the reply box: where answers to letters arrive, tried before it is kept and proved after."""

from django import forms
from django.conf import settings
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods

from notifications.channels.base import Undelivered
from notifications.models import ReplyBox
from notifications.replies import address, proving, setting_up
from portal.access import for_owner
from portal.answers import see_other
from portal.limits import take
from portal.office.mail_test import Told, its_words, meaning
from portal.office.mailbox_forms import MailboxForm

SAMPLE_REF = "4tm7qkr"
FIELDS = ("address", "host", "port", "security", "user", "folder")


class ReplyBoxForm(MailboxForm):
    """All empty: none, and answers go to the workshop's own address, where nobody but you reads them."""

    field_order = ["address", "host", "port", "security", "user", "mail_password", "folder"]
    begins = ("address", *MailboxForm.begins)
    needed = {
        "address": gettext_lazy("Which address do customers answer to?"),
        "host": gettext_lazy("Which server holds the mailbox?"),
        "port": gettext_lazy("Usually 993 with TLS, 143 with STARTTLS."),
        "security": gettext_lazy("Your mail provider tells you which."),
        "user": gettext_lazy("Often it is the whole address."),
    }

    address = forms.EmailField(
        label=gettext_lazy("Address of the mailbox"),
        required=False,
        max_length=254,
        help_text=gettext_lazy(
            "The best is the one that your letters come from: then letters that come back are noticed too."
        ),
    )
    host = forms.CharField(
        label=gettext_lazy("IMAP server"),
        max_length=255,
        required=False,
        help_text=gettext_lazy("imap.example.org. Your mail provider tells you."),
    )
    security = forms.ChoiceField(
        label=gettext_lazy("Security"),
        choices=ReplyBox.Security.choices,
        widget=forms.RadioSelect,
        required=False,
    )
    folder = forms.CharField(label=gettext_lazy("Folder"), max_length=100, required=False)

    def box(self) -> ReplyBox:
        told = self.cleaned_data
        return setting_up.typed(
            told["mail_password"],
            **{name: told[name] for name in FIELDS} | {"folder": told["folder"] or "INBOX"},
        )


@sensitive_post_parameters()
@require_http_methods(["GET", "HEAD", "POST"])
@for_owner
def office_reply_box(request: HttpRequest) -> HttpResponse:
    """Keep the box; or (`test`) only try what is typed; or (`prove`) send the letter again that proves signed addresses."""
    if request.method != "POST":
        return _page(request)
    if "prove" in request.POST:
        return _prove(request, ReplyBox.objects.current())
    form = ReplyBoxForm(request.POST)
    if not form.is_valid():
        return _page(request, form)
    if not form.cleaned_data["host"]:
        setting_up.forget()
        messages.success(request, _("Kept. Answers go to the workshop’s own address."))
        return see_other(request, reverse("office_reply_box"))
    return _try(request, form) if "test" in request.POST else _keep(request, form)


def _try(request: HttpRequest, form: ReplyBoxForm) -> HttpResponse:
    if not take("reply-box", 20, 3600):
        return render(request, "door/too_often.html", status=429)
    wrong = setting_up.try_it(form.box())
    return _page(request, form, Told(not wrong, wrong or _("We can log in and read the folder.")))


def _keep(request: HttpRequest, form: ReplyBoxForm) -> HttpResponse:
    box = form.box()
    if not setting_up.has_password(box):
        form.add_error("mail_password", _("Type the password of this mailbox."))
        return _page(request, form)
    kept = setting_up.keep(box)
    messages.success(request, _("Kept. We look into it every minute."))
    return see_other(request, reverse("office_reply_box")) if kept.plus_proved_at else _prove(request, kept)


def _prove(request: HttpRequest, box: ReplyBox | None) -> HttpResponse:
    if box is None or not take("reply-box", 20, 3600):
        return render(request, "door/too_often.html", status=429)
    try:
        proving.send(box)
    except Undelivered as problem:
        words = f"{meaning(problem.reason)} {its_words(problem.reason)}".strip()
        messages.error(
            request, _("The letter that tests signed addresses did not go out. %(words)s") % {"words": words}
        )
    else:
        messages.success(
            request, _("A letter is on its way to a signed address. Look here again in two minutes.")
        )
    return see_other(request, reverse("office_reply_box"))


def _page(request: HttpRequest, form: ReplyBoxForm | None = None, told: Told | None = None) -> HttpResponse:
    box = ReplyBox.objects.current()
    page = {
        "here": "office",
        "tab": "settings",
        "box": box,
        "form": form or ReplyBoxForm(initial=_typed(box)),
        "told": told,
        "provider": settings.REPLY_ADDRESS,
        "sample": _sample(settings.REPLY_ADDRESS or (box.address if box else "")),
    }
    went_well = form is None or (told is not None and told.went)
    return render(request, "office/replies.html", page, status=200 if went_well else 422)


def _typed(box: ReplyBox | None) -> dict[str, object]:
    """What is kept, without the password: that one never comes back to a page."""
    if box is None:
        return {"port": 993, "security": ReplyBox.Security.TLS, "folder": "INBOX"}
    return {name: getattr(box, name) for name in FIELDS}


def _sample(mailbox: str) -> str:
    """How a signed address looks; "" where the mailbox's name leaves no room for one."""
    if not address.proof(mailbox):
        return ""
    user, _at, domain = mailbox.rpartition("@")
    return f"{user}+{SAMPLE_REF}.…@{domain}" if user else ""
