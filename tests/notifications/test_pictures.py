"""The photograph inside: the one that matters, small enough, or none."""

import pytest

from jobs.darkroom import store
from jobs.models import Photo
from notifications import message, pictures
from tests.notifications.scenes import add_photo, examined, letter_of, run


@pytest.fixture
def job(cast):
    return examined(cast)


def quote_letter(cast, job):
    cast.send_quote(job)
    run()
    return letter_of(job, "quote_sent")


def test_the_quote_shows_the_worst_finding(cast, job):
    harmless = job.findings.get(title="One corner has lifted")
    add_photo(job, "finding", harmless, colours=3)
    assert quote_letter(cast, job).photo.finding.effect == "stops"


def test_a_photograph_that_is_too_large_is_passed_over(cast, job):
    Photo.objects.filter(purpose="finding").delete()
    large = add_photo(job, "finding", job.findings.first(), colours=120)
    assert store.path(large.sizes["800"]).stat().st_size > pictures.LARGEST
    assert quote_letter(cast, job).picture == ""


def test_the_small_size_is_taken_where_the_middle_one_is_too_large(cast, job):
    Photo.objects.filter(purpose="finding").delete()
    large = add_photo(job, "finding", job.findings.first(), colours=120)
    small = add_photo(job, "story", colours=3)
    large.sizes["400"] = small.sizes["800"]
    large.save()
    assert quote_letter(cast, job).picture == small.sizes["800"]


def test_a_finding_that_was_taken_back_shows_no_photograph(cast, job):
    Photo.objects.filter(purpose="finding").delete()
    add_photo(job, "finding", job.findings.get(state="withdrawn"))
    assert quote_letter(cast, job).picture == ""


def test_a_letter_whose_file_is_gone_goes_without_it(cast, job):
    letter = quote_letter(cast, job)
    store.forget(letter.picture)
    raw = message.build(letter, "bench@tidewater.example")
    assert b"image/jpeg" not in raw
    assert b"cid:" not in raw
