"""What an answer to a quote comes to, and whether it can be given: with numbers alone, no rows.

A `Sheet` is the quote as plain numbers (`jobs.evidence.sheet_of` makes it from what the customer is shown). An answer is the set of
lines said yes to: lines that stand by themselves, and follow-ons of outcomes that are agreed beforehand. Page, letter, evidence and
account all add up here.
"""

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property

from jobs.quoting import Amount, Tax, Total, total
from jobs.trying import Spread, Way, spread
from jobs.words import FIXED_KINDS, LineKind, Need, TaxMode


@dataclass(frozen=True)
class Turn:
    """One way a try-first line may turn out, and what could follow; one of `follow_ons` at most is agreed."""

    id: int
    title: str
    weight: int
    seen: int = 0
    stops: bool = False
    follow_ons: "tuple[Item, ...]" = ()


@dataclass(frozen=True)
class Item:
    """One line. `price` and `least` in minor units; `least` is less than the price only where the price is "up to"."""

    id: int
    kind: str
    need: str
    title: str
    price: int
    least: int
    tax: Tax
    up_to: bool = False
    requires: frozenset[int] = frozenset()
    either: int | None = None
    turns: tuple[Turn, ...] = ()

    @property
    def is_fixed(self) -> bool:
        """Carriage and assessment are not chosen: they come with the job."""
        return self.kind in FIXED_KINDS

    def follow_ons(self) -> "Iterator[Item]":
        for turn in self.turns:
            yield from turn.follow_ons


@dataclass(frozen=True)
class Sheet:
    mode: TaxMode
    items: tuple[Item, ...]
    credits_assessment: bool = False

    @cached_property
    def by_id(self) -> dict[int, Item]:
        """Every line and follow-on."""
        found = {item.id: item for item in self.items}
        return found | {each.id: each for item in self.items for each in item.follow_ons()}

    @property
    def needed(self) -> frozenset[int]:
        """What is chosen before anybody has answered: lines that are needed; of alternatives only the first."""
        taken: set[int] = set()
        found = []
        for item in self.items:
            if item.is_fixed or item.need != Need.NEEDED or item.either in taken:
                continue
            found.append(item.id)
            if item.either is not None:
                taken.add(item.either)
        return frozenset(found)

    @property
    def everything(self) -> frozenset[int]:
        """Every line together with its dearest follow-ons; of alternatives the dearest."""
        dearest: dict[int, Item] = {}
        found: list[Item] = []
        for item in self.items:
            if item.either is None:
                found.append(item)
            elif item.either not in dearest or item.price > dearest[item.either].price:
                dearest[item.either] = item
        found += dearest.values()
        branches = [
            max(turn.follow_ons, key=lambda each: each.price).id
            for item in found
            for turn in item.turns
            if turn.follow_ons
        ]
        return frozenset([item.id for item in found] + branches)


@dataclass(frozen=True)
class Reckoned:
    """What an answer comes to. `total` is what is certain: every chosen line, "up to" prices in full, no branch yet.

    `rows` (title, minor units) add up to it before tax is added. `spread` is the gross with the branches that were agreed.
    """

    rows: tuple[tuple[str, int], ...]
    total: Total
    spread: Spread
    lowest: int
    credit: int = 0

    @property
    def expected(self) -> int:
        return self.spread.expected_minor

    @property
    def highest(self) -> int:
        return self.spread.highest

    @property
    def is_open(self) -> bool:
        """Whether it may still come to more or less than one sum."""
        return self.lowest < self.highest


@dataclass(frozen=True)
class Fault:
    """Why an answer cannot be given, at the line `id`: needs (`other` as well), either (besides `other`), branches, or unknown."""

    kind: str
    id: int
    other: str = ""


def tidy(sheet: Sheet, yes: Collection[int]) -> frozenset[int]:
    """The answer without follow-ons of lines that were said no to: their radios may still be set."""
    wanted = set(yes)
    for item in sheet.items:
        if item.id not in wanted:
            wanted -= {each.id for each in item.follow_ons()}
    return frozenset(wanted)


def faults(sheet: Sheet, yes: Collection[int]) -> list[Fault]:
    """What is wrong with an answer, line by line in the order of the quote; empty when it can be given."""
    wanted = tidy(sheet, yes)
    found = [Fault("unknown", pk) for pk in sorted(wanted - sheet.by_id.keys())]
    first_of: dict[int, Item] = {}
    for item in sheet.items:
        if item.id not in wanted:
            continue
        found += [
            Fault("needs", item.id, sheet.by_id[pk].title)
            for pk in sorted(item.requires - wanted)
            if pk in sheet.by_id and not sheet.by_id[pk].is_fixed
        ]
        if item.either is not None:
            if item.either in first_of:
                found.append(Fault("either", item.id, first_of[item.either].title))
            first_of.setdefault(item.either, item)
        found += [
            Fault("branches", item.id)
            for turn in item.turns
            if len([each for each in turn.follow_ons if each.id in wanted]) > 1
        ]
    return found


def reckon(sheet: Sheet, yes: Collection[int]) -> Reckoned:
    """Add up an answer. The order of lines changes nothing."""
    wanted = tidy(sheet, yes)
    items = _chosen(sheet, wanted)
    credit = _credit(sheet, items)
    fixed = [Amount(item.price, item.tax) for item in items] + credit
    tries = [_ways(item, wanted) for item in items if item.turns]
    ahead = spread(fixed, tries, sheet.mode)
    return Reckoned(
        rows=tuple((item.title, item.price) for item in items),
        total=total(fixed, sheet.mode),
        spread=ahead,
        lowest=_lowest(sheet, items, tries) if any(item.up_to for item in items) else ahead.lowest,
        credit=-sum(each.minor for each in credit),
    )


def as_done(
    sheet: Sheet, yes: Collection[int], followed: Collection[int], final: Mapping[int, int]
) -> tuple[list[tuple[str, int]], Total]:
    """What is owed by now: chosen lines, with `final` prices (line -> minor units) where an "up to" line has one, and follow-ons that
    came about. Returns rows (title, minor units) and their total.
    """
    items = _chosen(sheet, tidy(sheet, yes))
    rows = [(item.title, final.get(item.id, item.price), item.tax) for item in items]
    rows += [
        (each.title, final.get(each.id, each.price), each.tax)
        for item in items
        for each in item.follow_ons()
        if each.id in followed
    ]
    credit = _credit(sheet, items)
    amounts = [Amount(price, tax) for _title, price, tax in rows] + credit
    return [(title, price) for title, price, _tax in rows], total(amounts, sheet.mode)


def credit_of(sheet: Sheet, yes: Collection[int]) -> int:
    """What of the examination is taken off again, in minor units."""
    return -sum(each.minor for each in _credit(sheet, _chosen(sheet, yes)))


def _chosen(sheet: Sheet, wanted: Collection[int]) -> list[Item]:
    return [item for item in sheet.items if item.is_fixed or item.id in wanted]


def _credit(sheet: Sheet, items: list[Item]) -> list[Amount]:
    """The examination is credited against agreed work and parts, never for more than they come to."""
    if not sheet.credits_assessment:
        return []
    left = sum(item.price for item in items if not item.is_fixed)
    taken_off = []
    # In an order of their own, so that the place of a line in the quote changes no sum.
    for item in sorted(items, key=lambda each: (each.tax, each.price)):
        if item.kind == LineKind.ASSESSMENT:
            off = min(item.price, left)
            left -= off
            if off:
                taken_off.append(Amount(-off, item.tax))
    return taken_off


def _ways(item: Item, wanted: Collection[int]) -> tuple[Way, ...]:
    return tuple(
        Way(
            turn.weight,
            tuple(Amount(each.price, each.tax) for each in turn.follow_ons if each.id in wanted)
            if not turn.stops
            else (),
        )
        for turn in item.turns
    )


def _lowest(sheet: Sheet, items: list[Item], tries: list[tuple[Way, ...]]) -> int:
    least = [Amount(item.least if item.up_to else item.price, item.tax) for item in items]
    return spread(least + _credit(sheet, items), tries, sheet.mode).lowest
