"""What notifications keep: letters and the ways they take, how far the journal has been read, what is owed, what came in."""

from notifications.models.incoming import Incoming, ReplyBox
from notifications.models.lease import SweepLease
from notifications.models.letter import Letter
from notifications.models.mail_account import MailAccount
from notifications.models.nudge import Nudge
from notifications.models.owing import Owing, Pause
from notifications.models.reading import Floor, Read
from notifications.models.text_day import TextDay
from notifications.models.ways import DeadAddress, PushSubscription, TextGateway, Told
from notifications.models.words import OwnWords

__all__ = [
    "DeadAddress",
    "Floor",
    "Incoming",
    "Letter",
    "MailAccount",
    "Nudge",
    "Owing",
    "OwnWords",
    "Pause",
    "PushSubscription",
    "Read",
    "ReplyBox",
    "SweepLease",
    "TextDay",
    "TextGateway",
    "Told",
]
