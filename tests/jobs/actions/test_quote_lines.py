"""Lines that stand in each other's place, and quotes that nobody could add up."""

import pytest

from jobs.actions import quote
from jobs.actions.quote_lines import group_of
from jobs.actions.refusals import Refused
from jobs.models import Line, Quote
from jobs.quoting import Tax
from jobs.words import Stage, TaxMode
from tests.cast import Cast


@pytest.fixture
def draft(cast: Cast) -> Quote:
    return quote.draft_quote(cast.job_at(Stage.EXAMINING))


def put(draft: Quote, title: str, **more: object) -> Line:
    return quote.put_line(draft, quote.LineDraft("work", "needed", title, 5000, **more))  # type: ignore[arg-type]


def groups(draft: Quote) -> dict[str, int | None]:
    return dict(draft.lines.values_list("title", "either"))


def test_a_line_that_nobody_stood_beside_begins_a_group(draft: Quote) -> None:
    clean = put(draft, "Clean the shutter")
    put(draft, "Fit another shutter", either=group_of(draft, clean))
    assert groups(draft) == {"Clean the shutter": 1, "Fit another shutter": 1}


def test_a_third_one_joins_the_group_and_another_pair_gets_its_own(draft: Quote) -> None:
    clean = put(draft, "Clean the shutter")
    put(draft, "Fit another shutter", either=group_of(draft, clean))
    put(draft, "Only free the blades", either=group_of(draft, clean))
    cover = put(draft, "Cover in black")
    put(draft, "Cover in brown", either=group_of(draft, cover))
    assert list(groups(draft).values()) == [1, 1, 1, 2, 2]


def test_what_is_left_alone_is_a_line_like_any_other(draft: Quote) -> None:
    clean = put(draft, "Clean the shutter")
    other = put(draft, "Fit another shutter", either=group_of(draft, clean))
    quote.remove_line(other)
    assert groups(draft) == {"Clean the shutter": None}


def test_a_line_that_leaves_its_group_leaves_nobody_alone_in_it(draft: Quote) -> None:
    clean = put(draft, "Clean the shutter")
    other = put(draft, "Fit another shutter", either=group_of(draft, clean))
    quote.put_line(draft, quote.LineDraft("work", "needed", "Fit another shutter", 5000), other)
    assert groups(draft) == {"Clean the shutter": None, "Fit another shutter": None}


def test_a_line_of_another_quote_begins_no_group(cast: Cast, draft: Quote) -> None:
    theirs = quote.draft_quote(cast.job_at(Stage.EXAMINING, cast.another_book()))
    with pytest.raises(Refused) as refused:
        group_of(draft, put(theirs, "Clean the shutter"))
    assert refused.value.field == "either"


def ways(n: int) -> list[quote.OutcomeDraft]:
    """Four ways to turn out that touch two rates of tax, with sums that coincide with nobody's."""
    usual = [quote.LineDraft("part", "needed", "A part", 3001 + 7**k * (n + 1)) for k in (2, 5)]
    reduced = quote.LineDraft("work", "needed", "A rarer thing", 777 + 911 * n, tax=Tax("S", 500))
    return [
        quote.OutcomeDraft("Well", 1),
        *(quote.OutcomeDraft("Not well", 1, follow_ons=[each]) for each in (*usual, reduced)),
    ]


def test_more_tries_than_anybody_can_add_up_are_not_sent(cast: Cast) -> None:
    cast.workshop.tax_mode = TaxMode.ADDED
    cast.workshop.save()
    draft = quote.draft_quote(cast.job_at(Stage.EXAMINING))
    for n in range(24):
        put(draft, f"Try {n}", outcomes=ways(n))
    with pytest.raises(Refused, match="add up"):
        quote.send_quote(draft, cast.technician)
    draft.refresh_from_db()
    assert draft.state == Quote.State.DRAFT


def test_a_line_of_another_quote_cannot_be_written_over(cast: Cast, draft: Quote) -> None:
    theirs = cast.job_at(Stage.QUOTED, cast.another_book()).quotes.get().lines.first()
    with pytest.raises(Refused, match="another quote"):
        quote.put_line(draft, quote.LineDraft("work", "needed", "Mine now", 1), theirs)
