"""What a quote must be before it can be sent: possible, and of a size that can be added up whatever is answered."""

import pytest

from jobs.actions import quote
from jobs.actions.quote import LineDraft, OutcomeDraft
from jobs.actions.quote_checks import must_add_up
from jobs.actions.refusals import Refused
from jobs.adding_up import reckon
from jobs.convolving import TooMany
from jobs.evidence import sheet
from jobs.models import Line, Quote
from jobs.quoting import Tax
from jobs.words import Stage, TaxMode
from tests.cast import Cast

STANDARD, REDUCED = Tax("S", 2000), Tax("S", 500)


@pytest.fixture
def draft(cast: Cast) -> Quote:
    cast.workshop.tax_mode = TaxMode.ADDED
    cast.workshop.save()
    return quote.draft_quote(cast.job_at(Stage.EXAMINING))


def put(draft: Quote, title: str, **more: object) -> Line:
    return quote.put_line(draft, LineDraft("work", "needed", title, 5000, **more))  # type: ignore[arg-type]


def two_ways(n: int, k: int) -> list[LineDraft]:
    """The dearer at one rate of tax, the cheaper at another."""
    return [
        LineDraft("work", "needed", f"dear {n}/{k}", 20_000_000 + 7**n * (k + 1) % 999_983, tax=STANDARD),
        LineDraft("part", "needed", f"cheap {n}/{k}", 10_000_000 + 11**n * (k + 1) % 999_979, tax=REDUCED),
    ]


def test_an_answer_of_cheaper_branches_can_be_harder_to_add_up_than_the_dearest(
    cast: Cast, draft: Quote
) -> None:
    """The dearest lie in one group of tax; some of these and some of those in two, and nobody could add them up on the page."""
    for n in range(12):
        ways = [OutcomeDraft(f"way {k}", follow_ons=two_ways(n, k)) for k in range(4)]
        put(draft, f"Try {n}", outcomes=ways)
    numbers = sheet(draft)
    turns = [turn for item in numbers.items for turn in item.turns]
    mixed = {item.id for item in numbers.items} | {turn.follow_ons[n % 2].id for n, turn in enumerate(turns)}
    with pytest.raises(TooMany):
        reckon(numbers, mixed)
    with pytest.raises(Refused, match="So many tries"):
        quote.send_quote(draft, cast.technician)


def test_a_quote_of_a_few_tries_at_two_rates_can_be_sent(draft: Quote) -> None:
    for n in range(3):
        ways = [OutcomeDraft(f"way {k}", follow_ons=two_ways(n, k)) for k in range(4)]
        put(draft, f"Try {n}", outcomes=ways)
    must_add_up(draft)


def test_a_line_cannot_need_two_of_which_only_one_can_be_chosen(cast: Cast, draft: Quote) -> None:
    cloth, leather = put(draft, "Cloth", either=1), put(draft, "Leather", either=1)
    put(draft, "Glue", requires=[cloth, leather])
    with pytest.raises(Refused, match="“Glue” needs both “Cloth” and “Leather”"):
        quote.send_quote(draft, cast.technician)


def test_nor_its_own_alternative_by_way_of_another(cast: Cast, draft: Quote) -> None:
    cloth = put(draft, "Cloth", either=1)
    glue = put(draft, "Glue", requires=[cloth])
    put(draft, "Leather", either=1, requires=[glue])
    with pytest.raises(Refused, match="“Leather” needs “Cloth”, but only one of them"):
        quote.send_quote(draft, cast.technician)


def test_lines_that_need_each_other_can_be_sent(cast: Cast, draft: Quote) -> None:
    one = put(draft, "Clean the shutter")
    other = put(draft, "Set the times", requires=[one])
    one.requires.set([other])
    assert quote.send_quote(draft, cast.technician).state == Quote.State.OPEN
