"""Reminders that an answer is owed: by themselves on the workshop's days, by one press in the office, and when to ring instead.

A quote is nudged on the n-th day after it was sent (`Workshop.nudge_days`), or on the first day after that on which we run.
Days on which a question of the customer waits for our answer do not count. Everything is looked at again inside the job's
lock, so that an answer in the same second stops the nudge.
"""

from dataclasses import dataclass
from datetime import date, datetime, timedelta, tzinfo
from zoneinfo import ZoneInfo

from django.db import transaction
from django.db.models import Max
from django.utils import timezone
from django.utils.translation import gettext as _

from jobs import journal
from jobs.actions.moving import changing
from jobs.actions.quote import lapse
from jobs.actions.refusals import Refused
from jobs.actor import HOUSE, Actor
from jobs.models import Entry, Job, Kind, Quote, Workshop
from notifications.models import Nudge

# Two presses within this time are one press too many.
PRESS_PAUSE = timedelta(hours=1)


@dataclass(frozen=True)
class Chase:
    """How far the chasing of a quote has come. `next_on` is None when no further nudge goes by itself: then it is time to ring."""

    quote: Quote
    sent: int
    steps: int
    next_on: date | None
    paused: bool

    @property
    def call(self) -> bool:
        """Every nudge has gone out and nothing came."""
        return self.next_on is None and not self.paused


@dataclass(frozen=True)
class _House:
    """The workshop's nudge days, in order, and its clock."""

    days: list[int]
    zone: tzinfo

    def day(self, moment: datetime) -> date:
        return moment.astimezone(self.zone).date()


def _house() -> _House:
    house = Workshop.objects.current()
    if house is None:
        return _House([], timezone.get_default_timezone())
    return _House(sorted(house.nudge_days), ZoneInfo(house.time_zone))


def chase_of(job: Job) -> Chase | None:
    """Where the chasing of the job's open quote stands, or None when no quote waits."""
    quote = job.quotes.open().first()
    if quote is None or quote.sent_at is None:
        return None
    house = _house()
    last = _last_step(quote)
    following = _day_of(quote, house.days[last], house) if last < len(house.days) else None
    return Chase(quote, last, len(house.days), following, _question_waits(job))


def nudge(job: Job, by: Actor) -> Entry:
    """Remind the customer now, by hand. Takes the place of the next step. Raises Refused."""
    with changing(job) as fresh:
        quote = fresh.quotes.open().first()
        if quote is None:
            raise Refused(_("There is no quote that waits for an answer."))
        if _question_waits(fresh):
            raise Refused(_("They asked a question. Answer it first."))
        if last := Nudge.objects.filter(quote=quote, at__gt=timezone.now() - PRESS_PAUSE).first():
            at = timezone.localtime(last.at)
            raise Refused(_("A nudge went out at %(at)s already.") % {"at": f"{at:%H:%M}"})
        return _write(fresh, quote, _last_step(quote) + 1, by)


def nudge_all_due(now: datetime) -> int:
    """Send every nudge that is due. Returns how many were."""
    return sum(_nudge_if_due(quote, now) for quote in nudges_due(now))


def nudges_due(now: datetime) -> list[Quote]:
    """Open quotes of which a nudge is due at `now`."""
    house = _house()
    if not house.days:
        return []
    old_enough = now - timedelta(days=min(house.days) - 1)
    waiting = (
        Quote.objects.open().filter(sent_at__lte=old_enough).select_related("job").order_by("sent_at", "pk")
    )
    return [quote for quote in waiting if _due_step(quote, now, house)]


def _due_step(quote: Quote, now: datetime, house: _House) -> int:
    """The step (1, 2, ...) that is due, or 0. After a long silence of ours only the latest one: never two letters in a row."""
    today = house.day(now)
    if quote.state != Quote.State.OPEN or (quote.valid_until and quote.valid_until < today):
        return 0
    if _question_waits(quote.job) or _answered_on(quote.job, today, house):
        return 0
    last = _last_step(quote)
    steps = list(enumerate(house.days, start=1))[last:]
    return max((step for step, days in steps if _day_of(quote, days, house) <= today), default=0)


def note_call(job: Job, text: str, by: Actor) -> Entry:
    """Note a telephone call. Raises Refused without a word about it."""
    if not text.strip():
        raise Refused(_("Note what was said, in a few words."), "text")
    with changing(job) as fresh:
        return journal.append(fresh, Kind.CALLED, by, {"text": text.strip()[:1000]})


def lapse_all_past(now: datetime) -> int:
    """Let every open quote lapse whose last day has passed. Returns how many did."""
    return sum(lapse(quote) for quote in Quote.objects.past_validity(_house().day(now)).select_related("job"))


def _nudge_if_due(quote: Quote, now: datetime) -> bool:
    with changing(quote.job) as job:
        # Inside the lock: an answer or a question that came since stops it.
        quote.refresh_from_db()
        quote.job = job
        step = _due_step(quote, now, _house())
        if step:
            _write(job, quote, step, HOUSE)
        return bool(step)


def _write(job: Job, quote: Quote, step: int, by: Actor) -> Entry:
    """The unique key of the row lets each step happen once, whoever else tries."""
    with transaction.atomic():
        Nudge.objects.create(quote=quote, step=step, at=timezone.now())
        last = step >= len(_house().days)
        return journal.append(
            job, Kind.NUDGED, by, {"step": step, "about": "quote", "quote": quote.n, "last": last}
        )


def _last_step(quote: Quote) -> int:
    return Nudge.objects.filter(quote=quote).aggregate(last=Max("step"))["last"] or 0


def _day_of(quote: Quote, days: int, house: _House) -> date:
    """The day of a step: so many days after the quote was sent, and as many more as a question of theirs waited for us."""
    assert quote.sent_at
    return house.day(quote.sent_at) + timedelta(days=days + _paused_days(quote, house))


def _paused_days(quote: Quote, house: _House) -> int:
    """Days since the quote was sent that began while a question waited for our answer; each counted once."""
    assert quote.sent_at
    waited: set[date] = set()
    for asked, answered in quote.job.questions.values_list("asked_at", "answered_at"):
        first = house.day(max(asked, quote.sent_at))
        until = house.day(answered or timezone.now())
        waited |= {first + timedelta(days=n + 1) for n in range((until - first).days)}
    return len(waited)


def _question_waits(job: Job) -> bool:
    return job.questions.unanswered().exists()


def _answered_on(job: Job, today: date, house: _House) -> bool:
    """They have only just heard from us."""
    last = job.questions.aggregate(last=Max("answered_at"))["last"]
    return bool(last and house.day(last) >= today)
