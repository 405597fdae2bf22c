"""The card of a warranty says what is covered, until when, what is not, and how to call on it."""

import pytest

from jobs.papers import warranting, warranty
from tests.jobs.papers import told
from tests.jobs.papers.reading import pdf, text


def covers(count: int) -> list[dict[str, object]]:
    return [told.cover(f"Promise {n}") for n in range(count)]


def test_each_promise_stands_with_its_last_day():
    made = text(warranty(told.warranty()))
    assert "Winding on 12 months, until 2 November 2027" in made
    assert "Clear lens 3 months, until 2 February 2027" in made


def test_what_is_not_covered_says_why():
    made = text(warranty(told.warranty()))
    assert "Top speed, 1/500 not covered" in made
    assert "Top speed, 1/500. It ran half a stop slow" in made


def test_it_says_how_to_call_on_it_and_that_the_law_stands_besides():
    made = text(warranty(told.warranty()))
    assert "Reach us at 01632 960123 or bench@tidewater.example.org, and give the reference 4TM7-QKR." in made
    assert "Your rights by law are yours besides" in made


@pytest.mark.parametrize("count", [1, 4, 9])
def test_it_is_one_sheet(count):
    assert len(pdf(warranty(told.warranty(covers=covers(count)))).pages) == 1


def test_many_promises_go_on_over_pages():
    made = text(warranty(told.warranty(covers=covers(60))))
    assert all(f"Promise {n} " in made for n in range(60))


def test_the_rails_end_where_their_days_lie_on_the_axis():
    made = warranting.content(told.warranty())
    ends = [each["end"] for each in made["covers"]]
    assert ends[0] == 1000
    assert ends[1] == 92 * 1000 // 365  # days from 2 November to 2 February, of the year


def test_the_axis_has_a_tick_for_the_first_of_each_month():
    ticks = warranting.content(told.warranty())["axis"]["ticks"]
    assert len(ticks) == 12
    assert sum(tick["long"] for tick in ticks) == 4
    assert [tick["at"] for tick in ticks] == sorted(tick["at"] for tick in ticks)


def test_where_nothing_is_covered_there_is_no_axis():
    made = warranting.content(told.warranty(covers=[told.cover("Top", None)]))
    assert made["axis"] is None
    assert "Nothing of this work is under warranty" in text(
        warranty(told.warranty(covers=[told.cover("Top", None)]))
    )


def test_a_promise_of_no_days_is_drawn_too():
    assert warranty(told.warranty(covers=[told.cover(until="2026-11-02", months=0)])).startswith(b"%PDF")
