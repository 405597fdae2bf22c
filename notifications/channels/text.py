"""Text messages, by the gateway that the owner set up."""

from collections.abc import Callable
from datetime import datetime, timedelta
from uuid import uuid4

from django.utils import timezone
from django.utils.translation import gettext as _

from jobs import places, telephones
from jobs.actions.linking import issue_link, take_back_link
from jobs.models import Workshop
from notifications import gateway, short
from notifications.channels.base import Channel, Trouble, Undelivered
from notifications.channels.by_day import wait_for_day
from notifications.channels.email import take_back
from notifications.models import Letter, TextDay, TextGateway


class Text(Channel):
    """One letter, one number, one request."""

    def send(self, letter: Letter, before_handing: Callable[[], None]) -> None:
        row = TextGateway.objects.current()
        if row is None:
            raise Undelivered(_("No gateway for text messages is set up."), Trouble.PERMANENT)
        wait_for_day(letter)
        _check_country(row, letter.to_address)
        door = gateway.of(row)
        day = timezone.localdate()
        if not TextDay.objects.take(day, row.daily_most):
            raise _enough_for_today()
        left, key = _Left(before_handing), issue_link(letter.job, made_for=letter.to_address)
        try:
            text = short.with_key(letter, key)
            taken = gateway.hand_over(door, letter.to_address, text, _name_of(letter), left)
        except Undelivered as error:
            take_back(key, error)
            raise _of_a_repeat(letter, error) from None
        finally:
            if not left.has_left:
                TextDay.objects.give_back(day)
                take_back_link(key)
        Letter.objects.filter(pk=letter.pk).update(provider_id=taken.provider_id)


def _name_of(letter: Letter) -> str:
    """What names the message towards the gateway: the same for all tries, so that one in doubt is known. What the office sends by hand is
    meant to go, also where the gateway has had it before.
    """
    return f"{letter.uid.hex}-{uuid4().hex}" if letter.by_hand else letter.uid.hex


def _of_a_repeat(letter: Letter, error: Undelivered) -> Undelivered:
    """A gateway that knows the message's name from an earlier try, and takes no other text under it, may have sent the first."""
    if letter.by_hand or letter.attempts < 2 or not isinstance(error, gateway.NotProcessed):
        return error
    return Undelivered(error.reason, Trouble.AMBIGUOUS if letter.doubts else Trouble.PERMANENT)


class _Left:
    """Passes on that the content begins to leave, and remembers it."""

    def __init__(self, tell: Callable[[], None]) -> None:
        self._tell = tell
        self.has_left = False

    def __call__(self) -> None:
        self._tell()
        self.has_left = True


def countries(row: TextGateway) -> list[str]:
    """Countries (ISO 3166-1) whose numbers we write to: those listed, else the workshop's own. Empty: none is known, so any."""
    own = places.country_of(Workshop.objects.current())
    return list(row.countries) or ([own] if own else [])


def _check_country(row: TextGateway, number: str) -> None:
    """Codes and links by text to dear numbers abroad are a known way to make a house pay."""
    allowed = countries(row)
    if allowed and telephones.country_of(number) not in allowed:
        raise Undelivered(_("We do not write text messages to that country."), Trouble.PERMANENT)


def _enough_for_today() -> Undelivered:
    return Undelivered(
        _("The most text messages of one day have gone. The rest goes tomorrow."),
        Trouble.THROTTLED,
        wait=(_midnight() - timezone.now()).total_seconds(),
    )


def _midnight() -> datetime:
    return timezone.localtime().replace(hour=0, minute=0, second=0, microsecond=0) + timedelta(days=1)
