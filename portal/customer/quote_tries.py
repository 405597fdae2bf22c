"""A line that is tried first, as the page shows it: the fork, each way that it may turn out in honest words, and what shall follow."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext as _

from jobs import money
from portal.customer.quote_choices import ASK, asked_turns
from portal.drawing.fork import Arm, Fork, fork

ENOUGH_SEEN = 5  # fewer of our own say nothing that a number should say


@dataclass(frozen=True)
class Option:
    """One thing that may follow. `radio` is the form's, None where there is nothing to choose; `chosen` once it was answered."""

    title: str
    price: str
    radio: Any = None
    chosen: bool = False


@dataclass(frozen=True)
class Way:
    """One way a try may turn out. `options` where something could follow, with the form's `field` while it can be chosen."""

    title: str
    share: str
    follows: str
    arm: Arm
    options: list[Option]
    field: Any = None


@dataclass(frozen=True)
class Trial:
    fork: Fork
    ways: list[Way]


def read(
    line: Mapping[str, Any], currency: str, form: Any = None, yes: Collection[int] | None = None
) -> Trial | None:
    """`line` as it was shown; `form` while it can be answered, `yes` what was agreed once it was. None for a line without a try."""
    turns = line.get("outcomes") or []
    if len(turns) < 2:
        return None
    drawn = fork([turn["weight"] for turn in turns])
    asked = {turn["id"] for turn in asked_turns(line)}
    shares = share_words(turns)
    ways = []
    for turn, share, arm in zip(turns, shares, drawn.arms, strict=True):
        field = form[f"turn-{turn['id']}"] if form and turn["id"] in asked else None
        options = _options(turn, currency, field, yes) if turn["id"] in asked else []
        follows = _follows(turn, field, options, answered=yes is not None)
        ways.append(Way(turn["title"], share, follows, arm, options, field))
    return Trial(drawn, ways)


def share_words(turns: Collection[Mapping[str, Any]]) -> list[str]:
    """How often each way comes out: counted where our own bench has seen enough of it, else in words that claim no more than they know."""
    seen = sum(turn["seen"] for turn in turns)
    if seen >= ENOUGH_SEEN:
        return [_("%(n)s of the last %(all)s") % {"n": turn["seen"], "all": seen} for turn in turns]
    every = sum(turn["weight"] for turn in turns)
    return [often(turn["weight"] / every) for turn in turns]


def often(share: float) -> str:
    """A share of a starting guess, without a number: nobody has counted."""
    if share >= 0.6:
        return _("usually")
    if share >= 0.4:
        return _("about as often as not")
    if share >= 0.15:
        return _("less often")
    return _("seldom")


def _follows(turn: Mapping[str, Any], field: Any, options: list[Option], answered: bool) -> str:
    if turn["stops"]:
        return _("We stop there.")
    if not turn["follow_ons"]:
        return _("Nothing more to pay.")
    if field:
        return _("Then we do what you choose below.")
    if not answered:  # lapsed, taken back, or read by staff
        offered = "; ".join(f"{option.title} {option.price}".strip() for option in options)
        return _("Then one of these, as chosen: %(what)s.") % {"what": offered}
    chosen = next((option for option in options if option.chosen), None)
    if chosen:
        return _("Then, as you chose: %(what)s") % {"what": f"{chosen.title} {chosen.price}".strip()}
    return _("Then we stop and ask you.")


def _options(turn: Mapping[str, Any], currency: str, field: Any, yes: Collection[int] | None) -> list[Option]:
    radios = {radio.data["value"]: radio for radio in field} if field else {}
    found = [
        Option(
            each["title"],
            price_words(each, currency),
            radios.get(str(each["id"])),
            bool(yes) and each["id"] in (yes or ()),
        )
        for each in turn["follow_ons"]
    ]
    if yes is None:
        found.append(Option(_("Stop and ask me"), "", radios.get(ASK)))
    return found


def price_words(line: Mapping[str, Any], currency: str) -> str:
    """ "+ £78", "+ up to £78", or "£0"."""
    if not line["price"]:
        return money.show(0, currency)
    price = money.show(line["price"], currency)
    return _("+ up to %(price)s") % {"price": price} if line.get("up_to") else f"+ {price}"
