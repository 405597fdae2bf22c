"""What notifications keep: letters, how far the journal has been read, nudges, the mailbox, the sweeps' leases."""

from notifications.models.lease import SweepLease
from notifications.models.letter import Letter
from notifications.models.mail_account import MailAccount
from notifications.models.nudge import Nudge
from notifications.models.reading import Floor, Read

__all__ = ["Floor", "Letter", "MailAccount", "Nudge", "Read", "SweepLease"]
