"""Shutter times, typed at the bench."""

import pytest
from django.test import Client
from django.urls import reverse

from jobs.models import Job, ShutterTime
from portal.bench.times import milliseconds, read_mark, read_time
from tests.cast import Cast


@pytest.mark.parametrize(
    ("typed", "us"),
    [
        ("16.2", 16_200),
        ("16,2", 16_200),
        ("1910", 1_910_000),
        ("1/62", 16_129),
        ("1/64 s", 15_625),
        ("2.8 ms", 2_800),
    ],
)
def test_a_time_is_typed_in_milliseconds_or_as_a_part_of_a_second(typed: str, us: int) -> None:
    assert read_time(typed) == us


@pytest.mark.parametrize("typed", ["fast", "0", "-3", "1/0", "NaN", "inf", "70000", "1e9", "16.2.1"])
def test_what_is_no_time_is_refused(typed: str) -> None:
    with pytest.raises(ValueError):
        read_time(typed)


@pytest.mark.parametrize(
    ("typed", "mark"), [("1/60", "1/60"), ("60", "1/60"), ("1", "1"), ("1 s", "1"), ("1/25", "1/25")]
)
def test_a_mark_is_typed_as_it_is_engraved(typed: str, mark: str) -> None:
    assert read_mark(typed) == mark


@pytest.mark.parametrize("typed", ["1/61", "B", ""])
def test_a_mark_that_is_on_no_dial_is_refused(typed: str) -> None:
    with pytest.raises(ValueError):
        read_mark(typed)


@pytest.mark.parametrize(
    ("us", "words"), [(15_625, "15.625"), (16_200, "16.2"), (1_040_000, "1040"), (1_000, "1")]
)
def test_milliseconds_are_written_without_empty_places(us: int, words: str) -> None:
    assert milliseconds(us) == words


def note(browser: Client, job: Job, when: str = "", **said: str) -> int:
    address = reverse("bench_times", args=[job.ref]) + (f"?when={when}" if when else "")
    return browser.post(address, said).status_code


@pytest.mark.parametrize(("stage", "after"), [("examining", False), ("in_work", True), ("proving", True)])
def test_the_stage_says_whether_it_is_before_or_after_the_work(
    jory: Client, cast: Cast, stage: str, after: bool
) -> None:
    assert note(jory, cast.job_at(stage), t0="1040", t6="16.1") == 303
    assert set(ShutterTime.objects.values_list("mark", "measured_us", "after_work")) == {
        ("1", 1_040_000, after),
        ("1/60", 16_100, after),
    }


def test_times_before_the_work_can_still_be_written_later(jory: Client, cast: Cast) -> None:
    note(jory, cast.job_at("in_work"), "before", t0="1910")
    assert ShutterTime.objects.get().after_work is False


def test_the_last_reading_of_a_mark_stands(jory: Client, cast: Cast) -> None:
    job = cast.job_at("in_work")
    note(jory, job, t6="16.1")
    note(jory, job, t6="15.9")
    assert ShutterTime.objects.get().measured_us == 15_900


def test_a_mark_of_an_old_dial_is_typed_beside_its_time(jory: Client, cast: Cast) -> None:
    assert note(jory, cast.job_at("in_work"), mark="1/25", measured="41") == 303
    assert ShutterTime.objects.get().mark == "1/25"


@pytest.mark.parametrize(
    "said", [{"t6": "fast"}, {"mark": "1/61", "measured": "16"}, {"mark": "1/25", "measured": ""}]
)
def test_one_wrong_time_keeps_all_that_was_typed_and_stores_none(
    jory: Client, cast: Cast, said: dict[str, str]
) -> None:
    job = cast.job_at("in_work")
    assert note(jory, job, t0="1040", **said) == 422
    assert not ShutterTime.objects.exists()


def test_stops_and_tolerance_are_shown_and_what_lies_outside(jory: Client, cast: Cast) -> None:
    job = cast.job_at("in_work")
    note(jory, job, t0="1910", t6="15")
    page = jory.get(reverse("bench_times", args=[job.ref])).content.decode()
    for words in ("+0.93", "−0.06", "±0.3", "outside", "no pass mark"):
        assert words in page


def test_times_cannot_be_noted_when_the_work_is_over(jory: Client, cast: Cast) -> None:
    assert note(jory, cast.job_at("returned"), t0="1040") == 422
