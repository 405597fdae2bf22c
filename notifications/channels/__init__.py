"""One small class for each way to reach a person, with `send(letter, before_handing)`. To add one: a file here, a line in CHANNELS."""

from notifications.channels.base import Channel, Undelivered
from notifications.channels.email import Email
from notifications.channels.push import Push
from notifications.channels.text import Text

CHANNELS: dict[str, type[Channel]] = {"email": Email, "text": Text, "push": Push}

__all__ = ["CHANNELS", "Channel", "Undelivered"]
