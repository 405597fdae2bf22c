"""One small class for each way to reach a person, with `send(letter, before_handing)`. To add one: a file here, a line in CHANNELS."""

from collections.abc import Callable

from django.conf import settings

from notifications.channels.base import Channel, Undelivered
from notifications.channels.email import Email
from notifications.channels.provider import Provider
from notifications.channels.push import Push
from notifications.channels.text import Text


def mail() -> Channel:
    """E-mail, by a provider where one is set and else by SMTP."""
    return Provider() if settings.MAIL_PROVIDER else Email()


CHANNELS: dict[str, Callable[[], Channel]] = {"email": mail, "text": Text, "push": Push}

__all__ = ["CHANNELS", "Channel", "Undelivered"]
