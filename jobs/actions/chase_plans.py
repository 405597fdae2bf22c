"""The plans by which something owed is chased: the usual ones, laid for a new workshop, and what the owner makes of them."""

from collections.abc import Sequence
from dataclasses import dataclass

from django.db import transaction
from django.utils.translation import gettext as _

from jobs.actions.refusals import Refused
from jobs.models import NudgeStep, Workshop
from jobs.words import Owes, Tone, Way

MOST_STEPS = 5  # letters about one thing; more wear people out (common practice, no source)
LONGEST_WAIT = 60  # working days, about a quarter of a year


@dataclass(frozen=True)
class Step:
    """One nudge: `wait` working days after the step before (the first: after it began to be owed), by `way`, in `tone`."""

    wait: int
    tone: str = Tone.KIND
    way: str = Way.EMAIL


# Common practice in a small shop, no source. What holds up the bench is asked for soonest.
USUAL: dict[str, tuple[Step, ...]] = {
    Owes.QUOTE: (Step(2), Step(3, Tone.PLAIN), Step(5, Tone.LAST)),
    Owes.QUESTION: (Step(2), Step(3, Tone.LAST)),
    Owes.PAYMENT: (Step(5), Step(5, Tone.LAST)),
    Owes.COLLECTION: (Step(5), Step(10, Tone.PLAIN), Step(20, Tone.LAST)),
}


def lay_usual_plans() -> None:
    """What a new workshop begins with, which has none yet."""
    NudgeStep.objects.bulk_create(row for about, steps in USUAL.items() for row in _rows(about, steps))


def keep_plan(about: str, steps: Sequence[Step]) -> None:
    """Put these steps in place of those for what is owed (`Owes`). None at all: never by itself. Raises Refused.

    Nudges that went out stay; a thing goes on with the step after as many as it has had.
    """
    _must_make_sense(steps)
    with transaction.atomic():
        list(Workshop.objects.select_for_update())  # of two that keep at once, the second waits for the first
        NudgeStep.objects.filter(about=about).delete()
        NudgeStep.objects.bulk_create(_rows(about, steps))


def _rows(about: str, steps: Sequence[Step]) -> list[NudgeStep]:
    return [
        NudgeStep(about=about, n=n, wait=step.wait, way=step.way, tone=step.tone)
        for n, step in enumerate(steps, start=1)
    ]


def _must_make_sense(steps: Sequence[Step]) -> None:
    if len(steps) > MOST_STEPS:
        raise Refused(_("Five reminders are the most that anybody should get."))
    if any(not 1 <= step.wait <= LONGEST_WAIT for step in steps):
        raise Refused(_("A wait is from 1 to 60 working days."))
    if any(step.tone == Tone.LAST for step in steps[:-1]):
        raise Refused(_("Only the last letter can say that it is the last."))
