"""The photograph inside: the one that matters, small enough, or none."""

from io import BytesIO

import pytest
from PIL import Image, ImageChops

from jobs.darkroom import store
from jobs.models import Mark, Photo
from notifications import message, pictures, rings
from tests.notifications.scenes import add_photo, examined, letter_of, run
from tests.once import made_once


@pytest.fixture
def job(cast):
    return made_once(examined, cast)


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


@pytest.mark.parametrize("certainty", ["seen", "inferred", "ruled_out"])
def test_numbered_marks_are_drawn_into_the_picture_and_it_stays_small(cast, job, certainty):
    photo = job.photos.filter(purpose="finding").first()
    Mark.objects.create(photo=photo, n=1, x=300, y=400)
    photo.finding.certainty = certainty
    bare = store.path(photo.sizes["800"]).read_bytes()
    drawn = rings.marked(photo, bare)
    assert len(drawn) <= pictures.LARGEST
    before, after = (Image.open(BytesIO(one)).convert("L") for one in (bare, drawn))
    assert after.size == before.size
    on_the_rim = (round(800 * 0.3 - 800 * 0.062 + 3), round(533 * 0.4))
    assert after.getpixel(on_the_rim) > before.getpixel(on_the_rim) + 60 or certainty == "inferred"
    assert ImageChops.difference(before, after).getbbox() is not None


def test_a_photograph_without_marks_travels_untouched(cast, job):
    photo = job.photos.filter(purpose="finding").first()
    bare = store.path(photo.sizes["800"]).read_bytes()
    assert rings.marked(photo, bare) == bare


def test_a_mark_at_the_very_edge_keeps_its_number_inside(cast, job):
    photo = job.photos.filter(purpose="finding").first()
    for n, (x, y) in enumerate([(0, 0), (1000, 1000), (0, 1000), (1000, 0)], start=1):
        Mark.objects.create(photo=photo, n=n, x=x, y=y)
    assert rings.marked(photo, store.path(photo.sizes["800"]).read_bytes()).startswith(b"\xff\xd8")


def test_a_letter_whose_file_is_gone_goes_without_it(cast, job):
    letter = quote_letter(cast, job)
    store.forget(letter.picture)
    raw = message.build(letter, "bench@tidewater.example")
    assert b"image/jpeg" not in raw
    assert b"cid:" not in raw
