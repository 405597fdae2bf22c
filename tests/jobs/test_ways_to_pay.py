from typing import Any

import pytest

from jobs.models import Job
from jobs.paying import read_reference
from jobs.ways_to_pay import filled, is_safe, reference_of, ways_to_pay
from tests.cast import Cast

IBAN = {"account_holder": "Tidewater Camera Works", "iban": "BE49999000000171"}


@pytest.fixture
def job(cast: Cast) -> Job:
    return cast.book()


def ways(cast: Cast, job: Job, currency: str = "EUR", **house: Any) -> Any:
    for name, value in house.items():
        setattr(cast.workshop, name, value)
    return ways_to_pay(cast.workshop, job, 9700, currency)


def test_a_workshop_that_said_nothing_about_paying_offers_nothing(cast: Cast, job: Job) -> None:
    assert ways(cast, job).is_empty


def test_an_account_is_shown_in_groups_of_four_with_a_reference_that_finds_the_job(
    cast: Cast, job: Job
) -> None:
    told = ways(cast, job, **IBAN)
    assert told.iban == "BE49 9990 0000 0171"
    assert read_reference(told.reference) == job.ref


def test_the_code_is_for_euros_alone(cast: Cast, job: Job) -> None:
    assert "EUR97.00" in ways(cast, job, **IBAN).code
    assert ways(cast, job, "GBP", **IBAN).code == ""


def test_the_code_says_what_stands_beside_it(cast: Cast, job: Job) -> None:
    told = ways(cast, job, **IBAN)
    lines = told.code.split("\n")
    assert told.holder in lines
    assert told.iban.replace(" ", "") in lines
    assert told.reference.replace(" ", "") in lines


def test_an_account_outside_the_area_without_a_bic_is_told_in_plain_text_only(cast: Cast, job: Job) -> None:
    british = IBAN | {"iban": "GB33BUKB20201555555555"}
    told = ways(cast, job, **british)
    assert (told.code, bool(told.iban)) == ("", True)
    assert ways(cast, job, **british, bic="BUKBGB22").code


def test_nothing_due_makes_no_code(cast: Cast, job: Job) -> None:
    assert ways_to_pay(cast.workshop, job, 0, "EUR").code == ""


def test_a_link_is_filled_in_and_what_is_filled_in_cannot_break_out_of_it() -> None:
    link = filled("https://pay.example.org/?to={reference}&sum={amount}", "RF22 4TM7", 9750, "GBP")
    assert link == "https://pay.example.org/?to=RF22%204TM7&sum=97.50"
    assert filled("https://pay.example.org/{amount}", "x", 850, "JPY") == "https://pay.example.org/850"


@pytest.mark.parametrize(
    "link",
    [
        "http://pay.example.org/",
        "javascript:alert(1)",
        "https:",
        "https://",
        "//pay.example.org",
        "https://bank.example@evil.example/",
        "https://[half",
        "",
    ],
)
def test_a_link_that_is_not_plainly_https_is_not_shown(link: str) -> None:
    assert not is_safe(link)
    assert filled(link, "x", 1, "GBP") == ""


def test_every_jobs_reference_can_be_carried_by_a_bank(cast: Cast) -> None:
    assert all(reference_of(cast.book()).startswith("RF") for _ in range(20))
