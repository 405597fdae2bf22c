"""Reminders that something is owed: by themselves on the day of a step, or by one press in the office.

Everything is looked at again inside the job's lock, which every act of the customer takes too: an act that comes first stops the nudge,
and one that comes after it stops its letter (`reasons.no_longer_owed`).
"""

from collections.abc import Iterable, Iterator
from datetime import date, datetime, timedelta
from itertools import islice

from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from jobs import journal
from jobs.actions.moving import changing
from jobs.actions.refusals import Refused
from jobs.actor import HOUSE, Actor
from jobs.models import Customer, Entry, Job, Kind, Quote, Workshop
from jobs.words import Owes, Tone, Way
from notifications import hours
from notifications.chasing import keeping
from notifications.chasing.course import Course, State, courses
from notifications.chasing.house import read_house
from notifications.models import Nudge, Owing, Pause
from notifications.sparing import one_of_many

PRESS_PAUSE = timedelta(hours=1)  # two presses within this time are one press too many
MOST = 200  # jobs in one go; the next sweep takes the rest


def nudge(job: Job, by: Actor, thing: str = "", now: datetime | None = None) -> Entry:
    """Remind the customer now, by hand: of `thing` (`Owed.thing`), or of what stands first. Takes the place of the next step.

    Raises Refused where nothing is owed, where it is our move first, while reminders are paused, and twice within an hour.
    """
    moment = now or timezone.now()
    with changing(job) as fresh:
        course = _pick(courses(fresh, moment), thing)
        _must_be_fair(fresh, course, moment)
        entry = _write(fresh, course, by, moment)
        keeping.refresh(fresh, moment)
        return entry


def nudge_all_due(now: datetime) -> int:
    """Send every nudge that is due, one at most about each job. Returns how many were.

    Only while its letter can go at once: one that waited for the morning would use up its step, though a question of theirs or a
    pause stopped it meanwhile.
    """
    house, nudged = read_house(), 0
    today = house.day(now)
    if not house.days.is_worked(today):
        return 0
    for job in islice(_day_where_they_are(today, now), MOST):
        with one_of_many("the nudge about job", job.pk):
            nudged += _nudge_if_due(job, now, today)
    return nudged


def _day_where_they_are(today: date, now: datetime) -> Iterator[Job]:
    """Jobs about which something is due, each once, whose customers' letters do not wait for the day."""
    due = Owing.objects.filter(next_on__lte=today).select_related("job__customer").order_by("next_on", "pk")
    jobs = {owing.job_id: owing.job for owing in due.iterator()}
    house = Workshop.objects.current() if jobs else None
    yield from (job for job in jobs.values() if hours.is_day(job.customer, now, house))


def _nudge_if_due(job: Job, now: datetime, today: date) -> bool:
    """Inside the lock the rows decide, not the summary: an answer or a question that came since stops it."""
    with changing(job) as fresh:
        due = next((each for each in courses(fresh, now) if _is_due(each, today)), None)
        if due:
            _write(fresh, due, HOUSE, now)
        keeping.refresh(fresh, now)
        return due is not None


def _is_due(course: Course, today: date) -> bool:
    return course.state == State.CHASED and course.next_on == today


def _pick(found: Iterable[Course], thing: str) -> Course:
    wanted = [course for course in found if not thing or course.owed.thing == thing]
    if wanted:
        return wanted[0]
    raise Refused(
        _("That is no longer owed.") if thing else _("There is nothing that they owe us an answer to.")
    )


def _must_be_fair(job: Job, course: Course, now: datetime) -> None:
    if course.state == State.OURS:
        raise Refused(_("They asked a question. Answer it first."))
    if course.state == State.PAUSED:
        raise Refused(_why_paused(Pause.objects.get(job=job)))
    last = Nudge.objects.filter(job=job, at__gt=now - PRESS_PAUSE).order_by("-at").first()
    if last:
        at = timezone.localtime(last.at)
        raise Refused(
            _("There is a reminder of %(at)s already. A second one can go an hour after it.")
            % {"at": f"{at:%H:%M}"}
        )


def _why_paused(pause: Pause) -> str:
    if pause.until:
        day = date_format(pause.until, _("l j F"))
        return _("Reminders are put off until %(day)s. Take them up again first.") % {"day": day}
    return _("Reminders are paused. Take them up again first.")


def _write(job: Job, course: Course, by: Actor, now: datetime) -> Entry:
    """The unique key of the row lets each step happen once, whoever else tries."""
    thing, n = course.owed, course.sent + 1
    tone, way = _voice(course), _way(job.customer, course)
    Nudge.objects.create(job=job, about=thing.about, thing=thing.thing, step=n, tone=tone, at=now)
    told: dict[str, object] = {
        "step": n,
        "about": thing.about.value,
        "thing": thing.thing,
        "tone": tone,
        "way": way,
        "last": n == len(course.plan),
    }
    return journal.append(job, Kind.NUDGED, by, told | _which(job, course))


def _voice(course: Course) -> str:
    """The tone of the step. A press beyond the plan speaks plainly: that a letter is the last one can be said but once."""
    if course.step:
        return course.step.tone
    return str(Tone.PLAIN if course.sent else Tone.KIND)


def _way(person: Customer, course: Course) -> str:
    """As the plan says, or by e-mail to whom we cannot reach in that way."""
    from notifications.ways import address_for  # which knows the letters' plan, which asks here what is owed

    wanted = Way(course.step.way) if course.step else Way.EMAIL
    return str(wanted if address_for(person, wanted) else Way.EMAIL)


def _which(job: Job, course: Course) -> dict[str, object]:
    """Which quote it was about, by its number in the job; or which questions, for one nudge asks for all that are open."""
    if course.owed.about == Owes.QUOTE:
        return {"quote": Quote.objects.values_list("n", flat=True).get(pk=course.owed.n)}
    if course.owed.about == Owes.QUESTION:
        return {"enquiries": list(job.enquiries.open().values_list("pk", flat=True))}
    return {}
