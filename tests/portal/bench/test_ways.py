"""Try first: how it may turn out, how often, and what may follow."""

from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from jobs.actions.quote_lines import MOST_OUTCOMES
from jobs.models import Job, Line, Outcome
from tests.cast import Cast
from tests.jobs.actions.test_trying import come_out, in_work, send_try
from tests.portal.bench.lines import HAZE, LINE, TRY, add, at, error_at, haze, page_of

pytestmark = pytest.mark.usefixtures("contexts")


def kept(job: Job) -> list[tuple[str, int, bool, list[tuple[str, int]]]]:
    rows = Outcome.objects.filter(line__quote__job=job).order_by("position")
    return [
        (row.title, row.weight, row.stops, list(row.follow_ons.values_list("title", "price"))) for row in rows
    ]


def test_ways_are_written_by_hand_with_what_follows(jory: Client, examined: Job) -> None:
    assert add(jory, examined, **TRY).status_code == 303
    assert kept(examined) == [
        ("It wipes off", 14, False, []),
        ("The glass has gone", 6, False, [("Fit a sound lens group", 7800)]),
    ]
    page = page_of(jory.get(at(examined)))
    for words in ("14 of 20", "It wipes off", "→ Fit a sound lens group, £78", "At the least", "On average"):
        assert words in page


def test_or_we_stop_there(jory: Client, examined: Job) -> None:
    add(jory, examined, **{**TRY, "w1s0_title": "", "w1s0_price": "", "w1_stops": "on"})
    assert kept(examined)[1] == ("The glass has gone", 6, True, [])


def test_up_to_three_things_may_follow_by_price_or_by_time(jory: Client, examined: Job) -> None:
    more = {
        "w1s1_title": "Grind it out", "w1s1_minutes": "30", "per_hour": "60", "w1s1_months": "0",
        "w1s2_title": "Leave it as it is", "w1s2_price": "0",
    }  # fmt: skip
    add(jory, examined, **TRY, **more)
    follow_ons = Line.objects.filter(outcome__isnull=False).order_by("position")
    assert [(line.title, line.price, line.months) for line in follow_ons] == [
        ("Fit a sound lens group", 7800, 12),
        ("Grind it out", 3000, 0),
        ("Leave it as it is", 0, 12),
    ]


@pytest.mark.parametrize(
    ("said", "field", "words"),
    [
        (
            {"w1_title": "", "w1_share": "", "w1s0_title": "", "w1s0_price": ""},
            "w1_title",
            "at least two ways",
        ),
        ({"w0_title": "", "w0_share": ""}, "w0_title", "at least two ways"),
        ({"w0_title": ""}, "w0_title", "Say how it turns out."),
        ({"w0_share": "0"}, "w0_share", "Type at least 1"),
        ({"w0_share": "-3"}, "w0_share", "Type at least 1"),
        ({"w0_share": "99999"}, "w0_share", "up to twenty"),
        ({"w0_share": "often"}, "w0_share", "whole number"),
        ({"w0_share": "7.5"}, "w0_share", "whole number"),
        ({"w0_share": ""}, "w0_share", "Of twenty, how many?"),
        ({"w1_stops": "on"}, "w1_stops", "Either we stop there, or something follows."),
        ({"w1s0_title": ""}, "w1s0_title", "Say what follows."),
        ({"w1s0_price": ""}, "w1s0_price", "Fill in a price, or how long it takes."),
        ({"w1s0_price": "-78"}, "w1s0_price", "less than nothing"),
        ({"w1s0_price": "999999999999"}, "w1s0_price", "more than any repair costs"),
        ({"w1s0_minutes": "20"}, "w1s0_price", "both filled in"),
        ({"w1s0_price": "", "w1s0_minutes": "20"}, "w1s0_minutes", "what an hour costs"),
        ({"w1s0_months": "-1"}, "w1s0_months", "0"),
        ({"w0_title": "x" * 241}, "w0_title", "240"),
        ({"kind": "carriage"}, "kind", "Only work and parts can be tried first."),
    ],
)
def test_what_cannot_be_is_said_beside_its_field_and_all_of_it_is_kept(
    jory: Client, examined: Job, said: dict[str, str], field: str, words: str
) -> None:
    answer = add(jory, examined, **{**TRY, **said})
    assert answer.status_code == 422
    assert words in error_at(answer, field)
    assert 'value="Clean the haze"' in page_of(answer)
    assert '<details class="folded"\n         id="try"\n         \n         open>' in page_of(answer)
    assert not Line.objects.exists()


def test_one_more_row_keeps_all_that_was_typed_and_writes_nothing(jory: Client, examined: Job) -> None:
    answer = add(jory, examined, **TRY, do="more", why="So that it is clear again.")
    page = page_of(answer)
    assert answer.status_code == 200
    for name in ("w2_title", "w2_share", "w1s1_title"):
        assert f'name="{name}"' in page
    for words in ('value="The glass has gone"', 'value="78"', "So that it is clear again."):
        assert words in page
    assert not Line.objects.exists()


def test_there_are_six_ways_at_the_most(jory: Client, examined: Job) -> None:
    six = {f"w{n}_title": f"Way {n}" for n in range(MOST_OUTCOMES)}
    page = page_of(add(jory, examined, **six, do="more"))
    assert 'name="w5_title"' in page
    assert 'name="w6_title"' not in page


def test_the_library_fills_in_how_it_may_turn_out(jory: Client, cast: Cast, examined: Job) -> None:
    found = haze(cast, examined)
    page = page_of(add(jory, examined, findings=[found.pk], do="try"))
    for words in ('value="It was a film on the glass.', 'value="12"', f'value="{HAZE}:stays"'):
        assert words in page
    assert not Line.objects.exists()


def test_one_press_from_a_finding_begins_a_try(jory: Client, cast: Cast, examined: Job) -> None:
    found = haze(cast, examined)
    assert f"?finding={found.pk}&amp;try=1#write" in page_of(jory.get(at(examined)))
    form = jory.get(at(examined), {"finding": found.pk, "try": 1}).context["line_form"]
    assert [way.share.value() for way in form.turns] == [12, 5, 3]


def test_without_an_explanation_that_knows_it_says_so(jory: Client, cast: Cast, examined: Job) -> None:
    found = cast.post_finding(examined)
    answer = add(jory, examined, findings=[found.pk], do="try")
    assert answer.status_code == 422
    assert "The library does not say how work on these findings may turn out." in page_of(answer)
    assert 'value="Clean the haze"' in page_of(answer)


def library_try(job: Job, found: Any, browser: Client) -> dict[str, Any]:
    """The form of a try begun from the library, as the browser would send it."""
    form = browser.get(at(job), {"finding": found.pk, "try": 1}).context["line_form"]
    told = {name: form[name].value() for name in form.fields if form[name].value() not in (None, "", False)}
    return {**LINE, **told, "price": "38", "do": "line"}


def test_our_own_counts_move_the_librarys_guess_and_are_kept_with_the_line(
    jory: Client, cast: Cast, examined: Job
) -> None:
    come_out(cast, in_work(cast, send_try(cast), branch=False), "It wipes off")
    found = haze(cast, examined)
    said = library_try(examined, found, jory)
    assert [said[f"w{n}_share"] for n in range(3)] == [13, 4, 3]
    jory.post(at(examined), said)
    rows = Outcome.objects.filter(line__quote__job=examined).values_list("key", "weight", "seen")
    assert list(rows) == [(f"{HAZE}:clears", 29, 1), (f"{HAZE}:better", 10, 0), (f"{HAZE}:stays", 6, 0)]


def test_a_share_that_was_changed_is_what_counts(jory: Client, cast: Cast, examined: Job) -> None:
    said = library_try(examined, haze(cast, examined), jory)
    jory.post(at(examined), {**said, "w0_share": "10"})
    assert list(Outcome.objects.values_list("weight", flat=True)) == [10, 5, 3]


def test_a_key_of_another_explanation_is_not_taken_in(jory: Client, examined: Job) -> None:
    add(jory, examined, **TRY, w0_key=f"{HAZE}:clears", w0_seen="400")
    assert list(Outcome.objects.values_list("key", "seen")) == [("", 0), ("", 0)]


def test_a_try_that_is_kept_as_it_stands_says_the_same(jory: Client, cast: Cast, examined: Job) -> None:
    found = haze(cast, examined)
    said = library_try(examined, found, jory)
    jory.post(
        at(examined),
        {**said, "w2s0_title": "Fit a sound lens group", "w2s0_price": "78", "w2s0_kind": "part"},
    )
    line = Line.objects.get(outcome__isnull=True)
    columns = ("key", "title", "weight", "seen", "stops", "follow_ons__title", "follow_ons__kind")
    before = list(line.outcomes.values_list(*columns))
    address = reverse("bench_quote_line", args=[examined.ref, line.pk])
    form = jory.get(address).context["form"]
    told = {name: form[name].value() for name in form.fields}
    told = {name: value for name, value in told.items() if value not in (None, "", False)}
    told = {**told, "price": "38", "findings": [found.pk], "w2s0_price": "78"}
    assert jory.post(address, told).status_code == 303
    assert list(line.outcomes.values_list(*columns)) == before


def test_rows_are_added_to_a_line_that_is_changed_too(jory: Client, examined: Job) -> None:
    add(jory, examined, **TRY)
    line = Line.objects.get(outcome__isnull=True)
    address = reverse("bench_quote_line", args=[examined.ref, line.pk])
    answer = jory.post(address, {**LINE, **TRY, "do": "more"})
    assert answer.status_code == 200
    assert 'name="w2_title"' in page_of(answer)
    assert Outcome.objects.count() == 2


def test_a_follow_on_is_no_line_to_be_changed_by_itself(jory: Client, examined: Job) -> None:
    add(jory, examined, **TRY)
    follow_on = Line.objects.get(outcome__isnull=False)
    assert jory.get(reverse("bench_quote_line", args=[examined.ref, follow_on.pk])).status_code == 404
