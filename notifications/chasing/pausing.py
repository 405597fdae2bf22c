"""Reminders paused by hand and taken up again; telephone calls noted."""

from datetime import date, datetime, timedelta

from django.utils import timezone
from django.utils.translation import gettext as _

from jobs import journal
from jobs.actions.moving import changing
from jobs.actions.refusals import Refused
from jobs.actor import Actor
from jobs.models import Entry, Job, Kind
from notifications.chasing import keeping
from notifications.chasing.course import in_force
from notifications.chasing.house import read_house
from notifications.models import Pause

LONGEST = timedelta(days=366)  # further away is a slip of the finger


def pause(
    job: Job, by: Actor, until: date | None = None, because: str = "", now: datetime | None = None
) -> Entry:
    """No reminder about this job goes by itself: before the day `until`, or until somebody takes them up again.

    What would have gone meanwhile goes then, once; but a nudge of which the letter is written and waits for its hour or another try is
    left out. A second pause takes the place of the first. Raises Refused for a day that is not to come, or too far away.
    """
    with changing(job) as fresh:
        entry = _pause(fresh, by, until, because, now or timezone.now())
        keeping.refresh(fresh, now)
        return entry


def resume(job: Job, by: Actor, now: datetime | None = None) -> Entry:
    """Take reminders up again. Raises Refused where they are not paused."""
    with changing(job) as fresh:
        today = read_house().day(now or timezone.now())
        paused = Pause.objects.filter(job=fresh).first()
        if paused is None or not in_force(paused, today):
            raise Refused(_("Reminders are not paused."))
        paused.delete()
        entry = journal.append(fresh, Kind.RESUMED, by)
        keeping.refresh(fresh, now)
        return entry


def note_call(job: Job, text: str, by: Actor, put_off: int = 0, now: datetime | None = None) -> Entry:
    """Note a telephone call; with `put_off`, reminders wait for so many days. Raises Refused without a word about it."""
    if not text.strip():
        raise Refused(_("Note what was said, in a few words."), "text")
    with changing(job) as fresh:
        moment = now or timezone.now()
        entry = journal.append(fresh, Kind.CALLED, by, {"text": text.strip()[:1000]})
        if put_off > 0:
            until = read_house().day(moment) + timedelta(days=put_off)
            _pause(fresh, by, until, _("After a call."), moment)
        keeping.refresh(fresh, moment)
        return entry


def _pause(job: Job, by: Actor, until: date | None, because: str, now: datetime) -> Entry:
    today = read_house().day(now)
    if until and until <= today:
        raise Refused(_("Choose a day that is still to come."), "until")
    if until and until - today > LONGEST:
        raise Refused(_("That is more than a year away."), "until")
    said = {"since": now, "until": until, "because": because.strip()[:200], "by_name": by.name}
    Pause.objects.update_or_create(job=job, defaults=said)
    told = {"until": until.isoformat() if until else None, "because": said["because"]}
    return journal.append(job, Kind.PAUSED, by, told)
