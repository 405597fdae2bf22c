"""Photographs on the sheet of a finding: sent one by one or with the form, marked, left out, shown to the right people."""

from collections.abc import Callable
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from jobs.actions.finding import Draft, keep
from jobs.actions.photo import photo_failed
from jobs.models import Job, Photo
from tests.cast import Cast
from tests.portal.bench.conftest import upload
from tests.portal.bench.test_finding import SAID, at, new, page_of
from tests.portal.conftest import Visitor

Hang = Callable[..., Photo]


def marks(photo: Photo, *spots: tuple[Any, Any], **more: str) -> dict[str, str]:
    """The fields of one photograph on the sheet."""
    key = photo.uid.hex
    said = {"photo": key, f"{key}-caption": more.pop("caption", "")}
    for n, (x, y) in enumerate(spots, start=1):
        said |= {f"{key}-x{n}": str(x), f"{key}-y{n}": str(y)}
    return said | {f"{key}-{name}": value for name, value in more.items()}


def test_without_a_script_photographs_go_with_the_form(jory: Client, examined: Job) -> None:
    jory.post(new(examined), {**SAID, "do": "post", "photos": [upload(), upload(name="IMG_0002.jpg")]})
    assert examined.findings.get().photos.count() == 2


def test_photographs_are_kept_when_the_form_comes_back_with_something_to_mend(
    jory: Client, examined: Job
) -> None:
    answer = jory.post(new(examined), {**SAID, "title": "", "do": "post", "photos": [upload()]})
    photo = examined.photos.get()
    assert answer.status_code == 422
    assert f'name="photo" value="{photo.uid.hex}"' in page_of(answer)


def test_a_script_sends_one_photograph_and_gets_its_place_on_the_sheet_back(
    jory: Client, examined: Job
) -> None:
    address = reverse("bench_photos", args=[examined.ref])
    answer = jory.post(address, {"photos": upload(), "purpose": "finding"}, headers={"HX-Request": "true"})
    assert answer.status_code == 200
    assert "waits" in page_of(answer)
    assert examined.photos.get().state == "processing"


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (b"GIF89a" + bytes(40), "JPEG, PNG and WebP work"),
        (b"\0\0\0\x18ftypheic" + bytes(40), "HEIC"),
        (b"", "not a photo"),
    ],
)
def test_what_cannot_be_taken_says_why_in_its_place(
    jory: Client, examined: Job, content: bytes, sentence: str
) -> None:
    address = reverse("bench_photos", args=[examined.ref])
    answer = jory.post(
        address, {"photos": upload(content), "purpose": "finding"}, headers={"HX-Request": "true"}
    )
    assert answer.status_code == 422
    assert sentence in page_of(answer)
    assert not examined.photos.exists()


def test_a_photograph_that_could_not_be_read_says_why(jory: Client, examined: Job, hang: Hang) -> None:
    photo = hang(examined)
    Photo.objects.filter(pk=photo.pk).update(state="processing")
    photo_failed(photo, "This photo arrived damaged. Please send it once more.")
    page = page_of(jory.get(reverse("bench_photo", args=[examined.ref, photo.uid])))
    assert "This photo arrived damaged." in page
    assert "hx-get" not in page


def test_one_that_waits_asks_again_and_one_that_is_ready_does_not(
    jory: Client, examined: Job, hang: Hang
) -> None:
    photo = hang(examined)
    address = reverse("bench_photo", args=[examined.ref, photo.uid])
    assert "hx-get" not in page_of(jory.get(address))
    Photo.objects.filter(pk=photo.pk).update(state="processing")
    assert "hx-get" in page_of(jory.get(address))


def test_marks_and_caption_are_kept_with_the_photograph(jory: Client, examined: Job, hang: Hang) -> None:
    photo = hang(examined)
    said = marks(photo, (463, 451), (392, 778), caption="Under the top cover")
    jory.post(new(examined), {**SAID, **said, "do": "post"})
    photo.refresh_from_db()
    assert [(mark.n, mark.x, mark.y) for mark in photo.marks.all()] == [(1, 463, 451), (2, 392, 778)]
    assert (photo.caption, photo.finding) == ("Under the top cover", examined.findings.get())


@pytest.mark.parametrize("spot", [(1001, 5), (-1, 5), ("left", 5), (400, "")])
def test_a_mark_outside_the_picture_or_half_given_is_refused(
    jory: Client, examined: Job, hang: Hang, spot: tuple[Any, Any]
) -> None:
    answer = jory.post(new(examined), {**SAID, **marks(hang(examined), spot), "do": "post"})
    assert answer.status_code == 422
    assert not examined.findings.exists()


def test_marks_are_numbered_without_gaps(jory: Client, examined: Job, hang: Hang) -> None:
    photo = hang(examined)
    jory.post(new(examined), {**SAID, **marks(photo, ("", ""), (10, 20)), "do": "post"})
    assert [(mark.n, mark.x) for mark in photo.marks.all()] == [(1, 10)]


def test_there_are_places_for_four_marks_and_no_more(jory: Client, examined: Job, hang: Hang) -> None:
    photo = hang(examined)
    page = page_of(jory.get(new(examined)))
    assert f'name="{photo.uid.hex}-x4"' in page
    assert f'name="{photo.uid.hex}-x5"' not in page


def test_photographs_that_wait_for_a_finding_stand_on_the_next_sheet(
    jory: Client, examined: Job, hang: Hang
) -> None:
    photo = hang(examined)
    assert photo.uid.hex in page_of(jory.get(new(examined)))


def test_one_that_is_left_out_is_thrown_away_with_its_files(
    jory: Client, examined: Job, hang: Hang, django_capture_on_commit_callbacks: Any
) -> None:
    photo = hang(examined)
    with django_capture_on_commit_callbacks(execute=True):
        jory.post(new(examined), {**SAID, **marks(photo, leave_out="on"), "do": "post"})
    assert not Photo.objects.exists()
    assert examined.findings.get().photos.count() == 0


def test_a_photograph_of_a_posted_finding_cannot_be_left_out(
    jory: Client, cast: Cast, examined: Job, hang: Hang
) -> None:
    finding = cast.post_finding(examined)
    photo = hang(examined, finding=finding)
    jory.post(at(finding), {**SAID, **marks(photo, leave_out="on"), "do": "correct", "because": "Clearer."})
    assert finding.photos.count() == 1


def test_another_jobs_photograph_cannot_be_taken_onto_the_sheet(
    jory: Client, cast: Cast, examined: Job, hang: Hang
) -> None:
    other = cast.job_at("examining", name="Ivo", email="ivo@example.org")
    photo = hang(other)
    jory.post(new(examined), {**SAID, **marks(photo), "do": "post"})
    photo.refresh_from_db()
    assert photo.finding is None
    assert photo.job == other


def test_a_photograph_of_another_job_is_not_found_under_this_one(
    jory: Client, cast: Cast, examined: Job, hang: Hang
) -> None:
    other = cast.job_at("examining", name="Ivo", email="ivo@example.org")
    assert jory.get(reverse("bench_photo", args=[examined.ref, hang(other).uid])).status_code == 404


def test_the_customer_does_not_see_the_photograph_of_a_draft(
    as_customer: Visitor, examined: Job, hang: Hang
) -> None:
    draft = keep(examined, Draft(**SAID))
    photo = hang(examined, finding=draft)
    assert as_customer(examined).get(reverse("photo", args=[photo.uid, 400])).status_code == 404


def test_the_customer_does_not_see_a_photograph_that_waits_for_a_finding(
    as_customer: Visitor, examined: Job, hang: Hang
) -> None:
    photo = hang(examined)
    browser = as_customer(examined)
    assert browser.get(reverse("photo", args=[photo.uid, 400])).status_code == 404
    assert browser.get(reverse("my_photo", args=[examined.ref, photo.uid])).status_code == 404


def test_the_customer_sees_it_once_the_finding_is_posted(
    as_customer: Visitor, jory: Client, examined: Job, hang: Hang
) -> None:
    photo = hang(examined)
    jory.post(new(examined), {**SAID, **marks(photo), "do": "post"})
    answer = as_customer(examined).get(reverse("photo", args=[photo.uid, 400]))
    assert answer.status_code == 200
    assert answer.getvalue().startswith(b"\xff\xd8")
    answer.close()


def test_the_customers_page_shows_the_arrival_and_neither_shows_nor_counts_what_waits_for_a_finding(
    as_customer: Visitor, examined: Job, hang: Hang
) -> None:
    arrival, loose, developing = hang(examined, "arrival"), hang(examined), hang(examined)
    Photo.objects.filter(pk=developing.pk).update(state="processing")
    page = page_of(as_customer(examined).get(reverse("my", args=[examined.ref])))
    assert str(arrival.uid) in page
    assert str(loose.uid) not in page
    assert "being developed" not in page
