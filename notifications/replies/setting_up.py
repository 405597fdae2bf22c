"""The reply box as the owner types it in: kept with its password sealed, tried before it is kept, and proved afterwards."""

from notifications.models import ReplyBox
from notifications.replies import reply_box
from notifications.sealing import CannotUnseal, seal, unseal

# What names the box: with another of these, what is known of it (how far it is read, that signed addresses arrive) counts no more.
NAMES_IT = ("host", "user", "folder", "address")


def typed(password: str, **fields: object) -> ReplyBox:
    """The box as typed, not kept. An empty password stands for the one that is kept, for the server and user it is kept for."""
    box = ReplyBox(sealed_password=seal(password))
    for name, value in fields.items():
        setattr(box, name, value)
    kept = ReplyBox.objects.current()
    if not password and kept and (kept.host, kept.user) == (box.host, box.user):
        box.sealed_password = kept.sealed_password
    return box


def keep(box: ReplyBox) -> ReplyBox:
    """Keep what `typed` made, in place of the box there is."""
    kept = ReplyBox.objects.current()
    if kept:
        box.pk = kept.pk
        if all(getattr(kept, name) == getattr(box, name) for name in NAMES_IT):
            box.uid_validity, box.last_uid = kept.uid_validity, kept.last_uid
            box.plus_proved_at, box.last_look = kept.plus_proved_at, kept.last_look
    box.save()
    return box


def forget() -> None:
    ReplyBox.objects.all().delete()


def try_it(box: ReplyBox) -> str:
    """Log in and open the folder. Returns what is wrong, in a sentence for the owner; "" when all is well."""
    try:
        with reply_box.opened(box):
            return ""
    except reply_box.NotRead as problem:
        return str(problem)


def has_password(box: ReplyBox) -> bool:
    try:
        return bool(unseal(box.sealed_password))
    except CannotUnseal:
        return False
