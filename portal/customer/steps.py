"""What the first view of a customer's page offers at each stage: at most one button, and words where there are no dates yet. Data only."""

from dataclasses import dataclass

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from jobs import stages
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

ANSWER = Step(_("Read and answer the quote"), "my_quote", quiet=_("Ask us something first"))
ONE_MORE = Step(_("Answer one thing more"), "my_quote", quiet=_("Ask us something first"))
PAY = Step(_("How to pay"), at="#money")
ANSWER_US = Step(_("Answer our question"), "my_questions")

STEPS: dict[tuple[Stage, Holder], Step] = {
    (Stage.EXPECTED, Holder.CUSTOMER): Step(
        _("I have posted it"), at="#posted", quiet=_("How to pack it"), quiet_at="#packing"
    ),
    (Stage.QUOTED, Holder.CUSTOMER): ANSWER,
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
AT_HAND_OVER = Step(quiet=_("How to pay"), quiet_at="#money")


def step_for(stage: str, holder: str, offer: str = "", pays: str = "", enquired: bool = False) -> Step:
    """`offer`: the state of the last quote (`offer.Offer`). `pays`: why money is asked for now (`money.Money`). `enquired`: a question
    of ours waits; it comes first, because the quote may hang on it.
    """
    if enquired:
        return ANSWER_US
    if offer == "lapsed" and stage == Stage.QUOTED:
        return LAPSED
    if offer == "open" and stage in stages.MAY_SUPPLEMENT:
        return ONE_MORE  # whether or not the work waits for it
    if pays in ("deposit", "before_post"):
        return PAY
    if pays == "at_hand_over":
        return AT_HAND_OVER
    return STEPS.get((Stage(stage), Holder(holder)), PLAIN)


def no_dates(stage: str) -> str:
    """Why there are no dates yet; "" where the words above say all."""
    return str(NO_DATES.get(Stage(stage), ""))
