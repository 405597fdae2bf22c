"""The mailbox that letters go out by: the owner's, or the one of the environment."""

from dataclasses import dataclass

from django.conf import settings

from notifications.models import MailAccount
from notifications.sealing import seal, unseal


@dataclass(frozen=True)
class Mailbox:
    """A mail server and how to log in. `security` is "none", "starttls" or "tls"; no fall back from one to another."""

    host: str
    port: int
    from_address: str
    user: str = ""
    password: str = ""
    security: str = "none"


def mailbox() -> Mailbox:
    """The owner's mailbox, or that of SMTP_URL. Raises CannotUnseal when the password was sealed with another SECRET_KEY."""
    account = MailAccount.objects.current()
    return of(account) if account else _from_the_environment()


def from_address() -> str:
    """The address that letters come from, whatever hands them over; no password is needed to know it."""
    account = MailAccount.objects.current()
    return account.from_address if account else settings.DEFAULT_FROM_EMAIL


def reaches_people() -> bool:
    """Whether letters leave this machine: by the owner's mailbox, a provider, or a mail server that the environment names.

    The demo's letterbox counts: its letters are meant to stay.
    """
    if settings.MAIL_PROVIDER:
        return True
    return MailAccount.objects.current() is not None or not settings.LETTERS_STAY_HERE


def of(account: MailAccount) -> Mailbox:
    return Mailbox(
        account.host,
        account.port,
        account.from_address,
        account.user,
        unseal(account.sealed_password),
        account.security,
    )


def keep_account(*, password: str | None = None, **fields: object) -> MailAccount:
    """Write down the owner's mailbox (host, port, user, security, from_address). `password` None keeps the one there is."""
    account = MailAccount.objects.current() or MailAccount()
    for name, value in fields.items():
        setattr(account, name, value)
    if password is not None:
        account.sealed_password = seal(password)
    account.save()
    return account


def _from_the_environment() -> Mailbox:
    return Mailbox(
        settings.EMAIL_HOST,
        settings.EMAIL_PORT,
        settings.DEFAULT_FROM_EMAIL,
        settings.EMAIL_HOST_USER,
        settings.EMAIL_HOST_PASSWORD,
        "tls" if settings.EMAIL_USE_SSL else "starttls" if settings.EMAIL_USE_TLS else "none",
    )
