"""Trying a mailbox before it is kept: one test letter, and the server's answer in words."""

import re
from dataclasses import dataclass

from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from notifications.channels.base import Undelivered
from notifications.letters import send_test_letter
from notifications.mailbox import Mailbox, from_address, reaches_people
from portal.office.mailbox_forms import MailForm

# How a failure begins -> what it means. In order: the first that fits is told.
MEANINGS: list[tuple[str, Promise]] = [
    ("gaierror", gettext_lazy("There is no mail server of that name. Look at the spelling.")),
    ("ConnectionRefusedError", gettext_lazy("The machine answers, but not at this port. Look at the port.")),
    ("TimeoutError", gettext_lazy("Nobody answered in time. Look at the name of the server and the port.")),
    (
        "SSLCertVerificationError",
        gettext_lazy("The server's certificate does not fit its name, so we did not log in."),
    ),
    ("SSLError", gettext_lazy("The server does not speak TLS at this port. Try the other kind of security.")),
    (
        "SMTPNotSupportedError",
        gettext_lazy("The server does not offer this kind of security. Try the other one."),
    ),
    (
        "SMTPServerDisconnected",
        gettext_lazy("The server hung up. Often that is the wrong kind of security for the port."),
    ),
    ("535", gettext_lazy("The server does not take this user name and password.")),
    (
        "534",
        gettext_lazy("The server wants another kind of password. Some providers call it an app password."),
    ),
    ("530", gettext_lazy("The server wants a user name and a password.")),
    ("55", gettext_lazy("The server knows us, but does not take letters for this address or from this one.")),
]


PROGRAMS_OWN = re.compile(r"^(?:\w+(?:Error|Disconnected)|gaierror): (?:\[Errno -?\d+\] )?")


@dataclass(frozen=True)
class Told:
    """What came of a test letter, for the person who asked for it."""

    went: bool
    words: str


def try_mailbox(form: MailForm, to: str, stored_password: str = "") -> Told:
    """Send a test letter to `to` by the mailbox of a valid form; by the one in use where the form is empty."""
    box = typed_mailbox(form, stored_password) if form.cleaned_data["host"] else None
    to = to or (box.from_address if box else from_address())
    try:
        send_test_letter(box, to)
    except Undelivered as problem:
        return Told(False, f"{meaning(problem.reason)} {its_words(problem.reason)}".strip())
    if not form.cleaned_data["host"] and not reaches_people():
        return Told(
            False, _("It stayed on this machine, where letters reach nobody. Give us a mailbox first.")
        )
    return Told(
        True,
        _("Look into %(address)s. If it is not there in a few minutes, look among the unwanted mail.")
        % {"address": to},
    )


def typed_mailbox(form: MailForm, stored_password: str = "") -> Mailbox:
    told = form.cleaned_data
    return Mailbox(
        host=told["host"],
        port=told["port"],
        from_address=told["from_address"],
        user=told["user"],
        password=told["mail_password"] or stored_password,
        security=told["security"],
    )


def meaning(reason: str) -> str:
    return str(next((words for start, words in MEANINGS if reason.startswith(start)), ""))


def its_words(reason: str) -> str:
    """The other side's own words, without our program's name for the error."""
    words = PROGRAMS_OWN.sub("", reason).strip()
    return _("In its own words: %(words)s") % {"words": words} if words else ""
