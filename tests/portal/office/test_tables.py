"""Settings: further rates of tax, and other months of warranty."""

from typing import Any

import pytest
from django.http import HttpResponse
from django.test import Client

from jobs.actions import quote
from jobs.models import TaxRate, WarrantyTerm
from jobs.quoting import Tax
from jobs.words import Stage
from tests.cast import Cast
from tests.portal.conftest import Visitor

pytestmark = pytest.mark.django_db
RATE = {"rate-name": "Post", "rate-category": "S", "rate-rate_bp": "5"}
TERM = {"term-kind": "work", "term-mechanism": "lens", "term-months": "3"}


@pytest.fixture
def owner(cast: Cast, as_staff: Visitor) -> Client:
    return as_staff(cast.owner_user)


def rates(owner: Client, **more: Any) -> HttpResponse:
    return owner.post("/office/settings/rates/", more)


def terms(owner: Client, **more: Any) -> HttpResponse:
    return owner.post("/office/settings/terms/", more)


def test_a_rate_is_added_and_stands_on_the_page(owner: Client) -> None:
    assert rates(owner, **RATE)["Location"].endswith("#rates")
    rates(owner, **RATE | {"rate-name": "Books", "rate-category": "Z", "rate-rate_bp": ""})
    assert list(TaxRate.objects.values_list("name", "category", "rate_bp")) == [
        ("Post", "S", 500),
        ("Books", "Z", 0),
    ]
    page = owner.get("/office/settings/").text
    assert "5 %" in page
    assert "Zero rated" in page


@pytest.mark.parametrize(
    ("slip", "sentence"),
    [
        ({"rate-name": ""}, "What is it for?"),
        ({"rate-name": "x" * 61}, "it has 61 signs, and 60 is the most"),
        ({"rate-rate_bp": ""}, "How many per cent is it?"),
        ({"rate-rate_bp": "0"}, "How many per cent is it?"),
        ({"rate-rate_bp": "-5"}, "A rate lies between 0 and 100."),
        ({"rate-rate_bp": "101"}, "A rate lies between 0 and 100."),
        ({"rate-rate_bp": "1e1"}, "Write the rate as a number"),
        ({"rate-rate_bp": "20"}, "That is the usual rate."),
        ({"rate-category": "E"}, "Only “At a rate” has per cent."),
        ({"rate-category": "X"}, "Choose one of these."),
    ],
)
def test_a_slip_in_a_rate_is_told_and_nothing_is_added(
    owner: Client, slip: dict[str, str], sentence: str
) -> None:
    answer = rates(owner, **RATE | slip)
    assert answer.status_code == 422
    assert sentence in answer.text
    assert not TaxRate.objects.exists()


def test_a_rate_is_there_once(owner: Client) -> None:
    rates(owner, **RATE)
    answer = rates(owner, **RATE | {"rate-name": "Parcels"})
    assert answer.status_code == 422
    assert "There is a rate like that already: Post." in answer.text
    assert 'value="Parcels"' in answer.text
    assert TaxRate.objects.count() == 1


def test_a_rate_that_a_draft_has_may_go_and_the_draft_keeps_it(owner: Client, cast: Cast) -> None:
    rates(owner, **RATE)
    job = cast.job_at(Stage.EXAMINING)
    draft = quote.draft_quote(job)
    line = quote.put_line(draft, quote.LineDraft("work", "needed", "Free it", 8500, tax=Tax(rate_bp=500)))
    assert rates(owner, out=TaxRate.objects.get().pk).status_code == 303
    assert not TaxRate.objects.exists()
    line.refresh_from_db()
    assert line.tax_rate_bp == 500


@pytest.mark.parametrize("post", [rates, terms])
def test_taking_away_what_is_gone_is_no_fault(owner: Client, post: Any) -> None:
    assert post(owner, out="12345").status_code == 303


@pytest.mark.parametrize("post", [rates, terms])
@pytest.mark.parametrize("out", ["", "x", "-1", "9" * 30, "²"])
def test_a_made_up_row_is_refused(owner: Client, post: Any, out: str) -> None:
    assert post(owner, out=out).status_code == 422


def test_months_are_kept_for_a_kind_and_a_part(owner: Client) -> None:
    terms(owner, **TERM)
    terms(owner, **TERM | {"term-kind": "", "term-mechanism": "seals", "term-months": "6"})
    page = owner.get("/office/settings/").text
    assert "Lens glass" in page
    assert "3 months" in page
    assert WarrantyTerm.objects.count() == 2


def test_the_same_row_again_changes_its_months(owner: Client) -> None:
    terms(owner, **TERM)
    terms(owner, **TERM | {"term-months": "24"})
    assert WarrantyTerm.objects.get().months == 24


def test_a_row_is_taken_away(owner: Client) -> None:
    terms(owner, **TERM)
    terms(owner, out=WarrantyTerm.objects.get().pk)
    assert not WarrantyTerm.objects.exists()


@pytest.mark.parametrize(
    ("slip", "sentence"),
    [
        ({"term-months": ""}, "How many months?"),
        ({"term-months": "-1"}, "Type a whole number from 0 to 120."),
        ({"term-months": "9999"}, "Type a whole number from 0 to 120."),
        ({"term-months": "1e3"}, "Type a whole number from 0 to 120."),
        ({"term-kind": "carriage"}, "Choose one of these."),
        ({"term-mechanism": "engine"}, "Choose one of these."),
        ({"term-kind": "", "term-mechanism": ""}, "Choose what it is for."),
    ],
)
def test_a_slip_in_months_is_told_and_nothing_is_kept(
    owner: Client, slip: dict[str, str], sentence: str
) -> None:
    answer = terms(owner, **TERM | slip)
    assert answer.status_code == 422
    assert sentence in answer.text
    assert not WarrantyTerm.objects.exists()


def test_what_a_rate_is_called_is_no_markup(owner: Client) -> None:
    rates(owner, **RATE | {"rate-name": "<b>Post</b>"})
    assert "<b>Post</b>" not in owner.get("/office/settings/").text
