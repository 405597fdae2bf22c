"""One line of a quote: by time or at a price, up to a price, with its tax, what it needs, and what it stands in place of."""

from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from jobs.models import Job, Line, TaxRate, WarrantyTerm, Workshop
from jobs.words import TaxMode
from tests.cast import Cast
from tests.portal.bench.lines import add, at, error_at, haze, page_of

pytestmark = pytest.mark.usefixtures("contexts")


def change(browser: Client, line: Line, **said: Any) -> Any:
    """Open a line's page and send back what stands there, with some of it changed."""
    address = reverse("bench_quote_line", args=[line.quote.job.ref, line.pk])
    form = browser.get(address).context["form"]
    told: dict[str, Any] = {}
    for field in form:
        value = form[field.name].value()
        if hasattr(value, "values_list"):
            value = list(value.values_list("pk", flat=True))
        if value not in (None, "", False):
            told[field.name] = (
                value.pk if hasattr(value, "pk") else form.fields[field.name].prepare_value(value)
            )
    return browser.post(address, {**told, **said})


def test_minutes_at_the_workshops_price_of_an_hour_make_the_price(jory: Client, examined: Job) -> None:
    Workshop.objects.update(hour_price=6000)
    add(jory, examined, price="", minutes="90", per_hour="60")
    line = Line.objects.get()
    assert (line.minutes, line.per_hour, line.price) == (90, 6000, 9000)
    assert "90 minutes at £60 an hour" in page_of(jory.get(at(examined)))


def test_the_hours_price_can_be_another_one_for_this_line(jory: Client, examined: Job) -> None:
    add(jory, examined, price="", minutes="20", per_hour="48.50")
    assert Line.objects.get().price == 1617  # 16.1666..., to the penny


@pytest.mark.parametrize(
    ("said", "field", "words"),
    [
        ({"price": ""}, "price", "Fill in a price, or how long it takes."),
        ({"minutes": "90", "per_hour": "60"}, "price", "A price and a time are both filled in."),
        ({"price": "", "minutes": "90"}, "minutes", "Say what an hour costs as well."),
        ({"price": "", "minutes": "90", "per_hour": "0"}, "minutes", "Say what an hour costs as well."),
        ({"price": "", "minutes": "0", "per_hour": "60"}, "minutes", "at least one minute"),
        ({"price": "", "minutes": "-30", "per_hour": "60"}, "minutes", "at least one minute"),
        ({"price": "", "minutes": "99999999999", "per_hour": "60"}, "minutes", "a hundred hours"),
        ({"price": "", "minutes": "soon", "per_hour": "60"}, "minutes", "whole minutes"),
        ({"price": "", "minutes": "6000", "per_hour": "1000000"}, "minutes", "more than any repair costs"),
        ({"price": "", "minutes": "90", "per_hour": "-60"}, "per_hour", "less than nothing"),
        ({"price": "-1"}, "price", "less than nothing"),
        ({"price": "1e9"}, "price", "not an amount of money"),
        ({"up_to": "on", "least": "40"}, "least", "The least cannot be more than the most."),
        ({"least": "20"}, "least", "Only an “up to” price has a least."),
        ({"up_to": "on", "least": "-2"}, "least", "less than nothing"),
        ({"months": "121"}, "months", "120"),
        ({"mechanism": "engine"}, "mechanism", "engine"),
    ],
)
def test_what_cannot_be_is_said_beside_its_field_and_all_of_it_is_kept(
    jory: Client, examined: Job, said: dict[str, str], field: str, words: str
) -> None:
    answer = add(jory, examined, why="So that it is clear again.", **said)
    assert answer.status_code == 422
    assert words in error_at(answer, field)
    assert "So that it is clear again." in page_of(answer)
    assert not Line.objects.exists()


def test_an_up_to_price_has_a_least_and_shows_both(jory: Client, examined: Job) -> None:
    add(jory, examined, price="60", up_to="on", least="20")
    line = Line.objects.get()
    assert (line.up_to, line.price, line.least) == (True, 6000, 2000)
    page = page_of(jory.get(at(examined)))
    assert "up to £60" in page
    assert "at least £20" in page


def test_without_further_rates_nobody_is_asked_for_the_tax(jory: Client, examined: Job) -> None:
    assert 'name="tax"' not in page_of(jory.get(at(examined)))


def test_without_tax_nobody_is_asked_for_it_either(jory: Client, examined: Job) -> None:
    TaxRate.objects.create(name="Reduced", rate_bp=500)
    Workshop.objects.update(tax_mode=TaxMode.NONE)
    assert 'name="tax"' not in page_of(jory.get(at(examined)))


def test_a_further_rate_is_chosen_for_one_line_and_the_usual_one_stands_first(
    jory: Client, examined: Job
) -> None:
    TaxRate.objects.create(name="Post, exempt", category="E")
    page = page_of(jory.get(at(examined)))
    assert page.index("VAT 20 %") < page.index("Post, exempt")
    add(jory, examined, tax="E:0")
    add(jory, examined, title="Free the gears", tax="S:2000")
    assert set(Line.objects.values_list("tax_category", "tax_rate_bp")) == {("E", 0), ("S", 2000)}


@pytest.mark.parametrize("typed", ["S:1900", "E:500", "X", "S:", ":"])
def test_a_rate_that_the_workshop_does_not_have_is_refused(jory: Client, examined: Job, typed: str) -> None:
    TaxRate.objects.create(name="Reduced", rate_bp=500)
    answer = add(jory, examined, tax=typed)
    assert answer.status_code == 422
    assert error_at(answer, "tax")
    assert not Line.objects.exists()


def test_the_mechanism_is_the_first_findings_unless_another_is_chosen(
    jory: Client, cast: Cast, examined: Job
) -> None:
    found = haze(cast, examined)
    add(jory, examined, findings=[found.pk])
    add(jory, examined, findings=[found.pk], title="Set the focus", mechanism="focus")
    assert list(Line.objects.values_list("mechanism", flat=True)) == ["lens", "focus"]


def test_months_left_empty_are_the_usual_ones_of_kind_and_mechanism(
    jory: Client, cast: Cast, examined: Job
) -> None:
    WarrantyTerm.objects.create(mechanism="lens", months=6)
    WarrantyTerm.objects.create(kind="part", months=3)
    found = haze(cast, examined)
    add(jory, examined, findings=[found.pk])
    add(jory, examined, title="A screw", kind="part")
    add(jory, examined, title="Free the gears")
    add(jory, examined, title="Post", kind="carriage")
    add(jory, examined, title="By hand", months="24")
    assert list(Line.objects.values_list("months", flat=True)) == [6, 3, 12, 0, 24]


def test_a_line_can_need_another_one(jory: Client, examined: Job) -> None:
    add(jory, examined, title="Open the lens")
    opened = Line.objects.get()
    add(jory, examined, requires=[opened.pk])
    assert list(Line.objects.get(title="Clean the haze").requires.all()) == [opened]
    assert "only together with “Open the lens”" in page_of(jory.get(at(examined)))


def test_what_is_needed_cannot_hang_on_a_line_that_is_not(jory: Client, examined: Job) -> None:
    add(jory, examined, title="Open the lens", need="advised")
    opened = Line.objects.get()
    answer = add(jory, examined, requires=[opened.pk])
    assert "Call both needed, or neither." in error_at(answer, "requires")
    assert Line.objects.count() == 1


def test_what_a_needed_line_hangs_on_stays_needed(jory: Client, examined: Job) -> None:
    add(jory, examined, title="Open the lens")
    opened = Line.objects.get()
    add(jory, examined, requires=[opened.pk])
    answer = change(jory, opened, title="Open the lens", need="optional")
    assert "“Clean the haze” is needed" in error_at(answer, "need")
    opened.refresh_from_db()
    assert opened.need == "needed"


def test_a_line_without_a_name_is_refused_in_words(jory: Client, examined: Job) -> None:
    assert error_at(add(jory, examined, title=""), "title") == "Say what it is."


def test_a_line_cannot_need_itself(jory: Client, examined: Job) -> None:
    add(jory, examined, title="Open the lens")
    add(jory, examined)
    line = Line.objects.get(title="Clean the haze")
    answer = change(jory, line, requires=[line.pk])
    assert answer.status_code == 422
    assert "not of this quote" in error_at(answer, "requires")
    assert not line.requires.exists()


@pytest.mark.parametrize("field", ["requires", "either"])
def test_a_line_of_another_job_is_neither_needed_nor_replaced(
    jory: Client, cast: Cast, examined: Job, field: str
) -> None:
    theirs = cast.send_quote(cast.job_at("examining", cast.another_book())).lines.all()[0]
    add(jory, examined, title="Open the lens")
    answer = add(jory, examined, **{field: theirs.pk})
    assert answer.status_code == 422
    assert "not of this quote" in error_at(answer, field)
    assert Line.objects.filter(quote__job=examined).count() == 1


def test_a_line_stands_in_the_place_of_another(jory: Client, examined: Job) -> None:
    add(jory, examined, title="Cover it in black")
    black = Line.objects.get()
    add(jory, examined, title="Cover it in brown", either=black.pk)
    assert list(Line.objects.values_list("either", flat=True)) == [1, 1]
    assert "or “Cover it in black”: one of these" in page_of(jory.get(at(examined)))


def test_a_line_cannot_need_what_it_stands_in_place_of(jory: Client, examined: Job) -> None:
    add(jory, examined, title="Cover it in black")
    black = Line.objects.get()
    answer = add(jory, examined, title="Cover it in brown", either=black.pk, requires=[black.pk])
    assert "cannot need another one and stand in its place" in error_at(answer, "either")
    assert list(Line.objects.values_list("either", flat=True)) == [None]


def test_a_line_that_is_kept_as_it_stands_says_the_same(jory: Client, cast: Cast, examined: Job) -> None:
    TaxRate.objects.create(name="Reduced", rate_bp=500)
    add(jory, examined, title="Cover it in black")
    black = Line.objects.get()
    found = haze(cast, examined)
    add(
        jory, examined, price="", minutes="90", per_hour="60", up_to="on", least="20", tax="S:500",
        either=black.pk, findings=[found.pk], months="7", why="So that it is clear again.",
    )  # fmt: skip
    line = Line.objects.get(title="Clean the haze")
    before = Line.objects.filter(pk=line.pk).values().get()
    assert change(jory, line).status_code == 303
    assert Line.objects.filter(pk=line.pk).values().get() == before
    assert list(line.findings.all()) == [found]


def test_what_is_seldom_needed_is_folded_until_something_stands_in_it(jory: Client, examined: Job) -> None:
    page = page_of(jory.get(at(examined)))
    assert '<details class="folded" id="more" >' in page
    answer = add(jory, examined, up_to="on", least="40")
    assert '<details class="folded" id="more" open>' in page_of(answer)


def test_one_press_begins_a_line_from_a_finding(jory: Client, cast: Cast, examined: Job) -> None:
    Workshop.objects.update(hour_price=6000)
    found = haze(cast, examined)
    page = page_of(jory.get(at(examined)))
    assert f"?finding={found.pk}#write" in page
    form = jory.get(at(examined), {"finding": found.pk}).context["line_form"]
    told = {name: form[name].value() for name in ("title", "minutes", "need", "findings")}
    assert told == {"title": "Haze inside the lens", "minutes": 90, "need": "needed", "findings": [found.pk]}
    assert form["price"].value() is None
    assert not Line.objects.exists()


def test_a_price_that_is_typed_counts_before_the_usual_minutes_that_nobody_typed(
    jory: Client, examined: Job
) -> None:
    add(jory, examined, price="85", minutes="90", usual_minutes="90", per_hour="60")
    line = Line.objects.get()
    assert (line.price, line.minutes, line.per_hour) == (8500, None, None)


def test_minutes_that_were_changed_are_not_taken_for_the_usual_ones(jory: Client, examined: Job) -> None:
    answer = add(jory, examined, price="85", minutes="80", usual_minutes="90", per_hour="60")
    assert "A price and a time are both filled in." in error_at(answer, "price")


def test_without_a_price_of_an_hour_no_minutes_are_filled_in(jory: Client, cast: Cast, examined: Job) -> None:
    found = haze(cast, examined)
    form = jory.get(at(examined), {"finding": found.pk}).context["line_form"]
    assert form["minutes"].value() is None


@pytest.mark.parametrize("typed", ["0", "x", "99999999999999999999", ""])
def test_a_finding_that_is_none_begins_an_empty_line(jory: Client, examined: Job, typed: str) -> None:
    answer = jory.get(at(examined), {"finding": typed})
    assert answer.status_code == 200
    assert answer.context["line_form"]["title"].value() is None


def test_a_finding_that_a_line_answers_is_offered_no_more(jory: Client, cast: Cast, examined: Job) -> None:
    found = haze(cast, examined)
    add(jory, examined, findings=[found.pk])
    assert "Quote this finding" not in page_of(jory.get(at(examined)))
