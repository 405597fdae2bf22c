"""How far the chasing of each thing has come, and when its next nudge goes: reckoned from what is owed, the plan, and what happened since.

A step is due so many working days after the one before went out (the first: after the thing began to be owed); so however long our
machine stood still, one nudge goes and never two in a row. Days on which a question of theirs waited for us do not count. Nobody is
nudged by itself twice a day about a job, on the day of our own answer, while reminders are paused, on a day off, or about a quote
whose last day has passed.
"""

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta

from django.utils import timezone

from jobs.models import Job, NudgeStep, Question
from jobs.words import Owes
from jobs.working_days import Days
from notifications.chasing.house import House, read_house
from notifications.chasing.owed import Owed, owed_by
from notifications.models import Nudge, Owing, Pause

State = Owing.State
ONE_DAY = timedelta(days=1)
LONGEST_COUNT = 1000  # days; a calendar in which nobody ever works would otherwise be counted for ever


@dataclass(frozen=True)
class Course:
    """`sent`: how many nudges have gone out, by hand or by themselves. `next_on`: the day of the next, None when none goes by itself."""

    owed: Owed
    plan: tuple[NudgeStep, ...]
    sent: int
    state: State
    next_on: date | None = None

    @property
    def step(self) -> NudgeStep | None:
        """The next step of the plan."""
        return self.plan[self.sent] if self.sent < len(self.plan) else None

    @property
    def call(self) -> bool:
        """Nothing more goes out by itself, and nothing came: ring them."""
        return self.state == State.CALL


@dataclass(frozen=True)
class Known:
    """What has happened, for many jobs: the last nudge of each thing (step, when) and of each job, questions of theirs (asked,
    answered), and pauses that are in force.
    """

    house: House
    now: datetime
    steps: Mapping[str, tuple[int, datetime]] = field(default_factory=dict)
    nudged: Mapping[int, datetime] = field(default_factory=dict)
    questions: Mapping[int, list[tuple[datetime, datetime | None]]] = field(default_factory=dict)
    pauses: Mapping[int, Pause] = field(default_factory=dict)

    @property
    def today(self) -> date:
        return self.house.day(self.now)


def courses(job: Job, now: datetime | None = None) -> list[Course]:
    """Where the chasing of everything stands that is owed about one job."""
    return courses_of([job], now or timezone.now()).get(job.pk, [])


def courses_of(jobs: Collection[Job], now: datetime, house: House | None = None) -> dict[int, list[Course]]:
    """The same for many jobs, by primary key: three queries more than `owed_by`. `house`: where it has been read already."""
    found = owed_by(jobs, house)
    if not found:
        return {}
    known = know(found, house or read_house(), now)
    return {pk: [course_of(each, known) for each in things] for pk, things in found.items()}


def know(jobs: Iterable[int], house: House, now: datetime) -> Known:
    steps: dict[str, tuple[int, datetime]] = {}
    nudged: dict[int, datetime] = {}
    for job, thing, step, at in Nudge.objects.filter(job__in=jobs).values_list("job", "thing", "step", "at"):
        steps[thing] = max(steps.get(thing, (step, at)), (step, at))
        nudged[job] = max(nudged.get(job, at), at)
    questions: dict[int, list[tuple[datetime, datetime | None]]] = defaultdict(list)
    asked = Question.objects.filter(job__in=jobs)
    for job, asked_at, answered_at in asked.values_list("job", "asked_at", "answered_at"):
        questions[job].append((asked_at, answered_at))
    today = house.day(now)
    pauses = {pause.job_id: pause for pause in Pause.objects.filter(job__in=jobs) if in_force(pause, today)}
    return Known(house, now, steps, nudged, questions, pauses)


def in_force(pause: Pause, today: date) -> bool:
    """Whether reminders are off on this day; they go on with the day `until`."""
    return pause.until is None or today < pause.until


def course_of(thing: Owed, known: Known) -> Course:
    plan = known.house.plan(thing.about)
    sent, last = known.steps.get(thing.thing, (0, thing.since))
    if any(answered is None for _asked, answered in known.questions.get(thing.job, ())):
        return Course(thing, plan, sent, State.OURS)
    next_on = _next_on(thing, plan[sent], last, known) if sent < len(plan) else None
    pause = known.pauses.get(thing.job)
    if pause:
        return Course(thing, plan, sent, State.PAUSED, next_on if pause.until else None)
    return Course(thing, plan, sent, State.CHASED if next_on else State.CALL, next_on)


def _next_on(thing: Owed, step: NudgeStep, last: datetime, known: Known) -> date | None:
    """The day on which the step goes: today or later, and None where that is after a quote's last day."""
    house, today = known.house, known.today
    waited = _days_of_their_questions(thing.job, last, known)
    due = _worked_day(house.day(last), step.wait, house.days, waited)
    day = house.days.next_worked(max([due, today, *_not_before(thing.job, known)]))
    too_late = thing.about == Owes.QUOTE and thing.last_day is not None and day > thing.last_day
    return None if too_late else day


def _not_before(job: int, known: Known) -> Iterable[date]:
    """Days before which nothing goes by itself: the day after a nudge, the day after our own answer, the end of a pause."""
    if job in known.nudged:
        yield known.house.day(known.nudged[job]) + ONE_DAY
    for _asked, answered in known.questions.get(job, ()):
        if answered:
            yield known.house.day(answered) + ONE_DAY
    pause = known.pauses.get(job)
    if pause and pause.until:
        yield pause.until


def _days_of_their_questions(job: int, since: datetime, known: Known) -> set[date]:
    """Days that began while a question of theirs waited for our answer; each counted once."""
    waited: set[date] = set()
    for asked, answered in known.questions.get(job, ()):
        first = known.house.day(max(asked, since))
        until = known.house.day(answered or known.now)
        waited |= {first + timedelta(days=n + 1) for n in range((until - first).days)}
    return waited


def _worked_day(day: date, n: int, days: Days, left_out: Collection[date]) -> date:
    """The n-th worked day after `day`, without those left out."""
    for _each in range(LONGEST_COUNT):
        if n == 0:
            break
        day += ONE_DAY
        n -= day not in left_out and days.is_worked(day)
    return day
