"""What the first view of a customer's page offers at each stage: at most one button, and words where there are no dates yet. Data only."""

from dataclasses import dataclass

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from jobs.words import Holder, Stage

ASK = _("Ask us something")


@dataclass(frozen=True)
class Step:
    """`to` is the name of an address that takes the reference; `at` a place on the page itself, instead of an address."""

    button: Promise | str = ""
    to: str = ""
    at: str = ""
    quiet: Promise | str = ASK
    quiet_to: str = "my_questions"
    quiet_at: str = ""


PLAIN = Step()

STEPS: dict[tuple[Stage, Holder], Step] = {
    (Stage.EXPECTED, Holder.CUSTOMER): Step(
        _("I have posted it"), at="#posted", quiet=_("How to pack it"), quiet_at="#packing"
    ),
    (Stage.QUOTED, Holder.CUSTOMER): Step(
        _("Read and answer the quote"), "my_quote", quiet=_("Ask us something first")
    ),
    (Stage.RETURNED, Holder.NOBODY): Step(_("What is covered, and how long"), "my_warranty"),
}

# Why there are no dates, while there are none.
NO_DATES: dict[Stage, Promise] = {
    Stage.EXPECTED: _("We can give dates once we have seen it."),
    Stage.ARRIVED: _("We can give dates once we have looked inside."),
    Stage.EXAMINING: _("Dates come with the quote, when we know what it needs."),
    Stage.QUOTED: _("We give you dates when you have answered."),
    Stage.AGREED: _("We have not given dates yet. If you need it for a certain day, tell us."),
    Stage.AWAITING_PART: _("We can give dates when we know when the part comes."),
    Stage.IN_WORK: _("We have not given dates yet. If you need it for a certain day, tell us."),
    Stage.PROVING: _("It comes home when we are content with it. We write that day."),
}


LAPSED = Step(_("See the quote, and ask us to renew it"), "my_quote")


def step_for(stage: str, holder: str, lapsed: bool = False) -> Step:
    """`lapsed`: the last quote can no longer be answered."""
    if lapsed and stage == Stage.QUOTED:
        return LAPSED
    return STEPS.get((Stage(stage), Holder(holder)), PLAIN)


def no_dates(stage: str) -> str:
    """Why there are no dates yet; "" where the words above say all."""
    return str(NO_DATES.get(Stage(stage), ""))
