"""Booking in: what goes wrong is said in words, nothing typed is lost, and a double tap books once."""

import threading

import pytest
from django.db import connection
from django.test import Client
from django.urls import reverse

from jobs.actions.photo import photo_failed, photo_is_ready
from jobs.models import Customer, Job, Kind, Photo
from portal.access import OPENED
from tests.portal.customer.pages import HTMX, booking_typed, chosen_in, follow, jpeg, words_of

BOOK = "/book/"


@pytest.fixture(autouse=True)
def workshop(cast):
    return cast


def test_a_booking_makes_an_expected_job_with_all_that_was_told(nobody):
    nobody.post(BOOK, booking_typed())
    job = Job.objects.with_people().get()
    assert (job.stage, job.item.name, job.item.serial) == ("expected", "Corvane Skerry", "418203")
    assert set(job.item.traits) == {"film_135", "coupled_rangefinder"}
    assert (job.customer.email, job.noticed_when, job.return_by) == ("orla@example.org", "In August", "post")


def test_after_booking_the_reference_and_the_packing_advice_are_shown(nobody):
    page = follow(nobody, nobody.post(BOOK, booking_typed()))
    assert Job.objects.get().shown_ref in page
    assert "How to pack it" in page
    assert "orla@example.org" in page


def test_the_browser_that_booked_may_open_the_job_at_once(nobody):
    nobody.post(BOOK, booking_typed())
    job = Job.objects.get()
    assert job.ref in nobody.session[OPENED]
    assert nobody.get(reverse("my", args=[job.shown_ref])).status_code == 200


def test_another_browser_may_not(nobody):
    nobody.post(BOOK, booking_typed())
    assert Client().get(reverse("my", args=[Job.objects.get().shown_ref])).status_code == 403


def test_booked_without_a_booking_leads_home(nobody):
    assert nobody.get("/booked/")["Location"] == "/"


@pytest.mark.parametrize(
    ("field", "value", "sentence"),
    [
        ("maker", "", "Write the maker’s name."),
        ("story", " ", "Tell us what you noticed."),
        ("kind", "", "Choose the kind that is nearest."),
        ("film_inside", "perhaps", "perhaps"),
        ("name", "", "Write your name."),
        ("email", "orla at example", "This does not look like an e-mail address."),
        ("telephone", "ring me", "This does not look like a telephone number."),
        ("address", "", "Write the address where we send it"),
        ("story", "x" * 4001, "4000"),
    ],
)
def test_bad_input_says_what_is_wrong_and_keeps_the_rest(nobody, field, value, sentence):
    response = nobody.post(BOOK, booking_typed(**{field: value}))
    assert response.status_code == 422
    assert sentence in response.text
    assert f'href="#id_{field}"' in response.text
    kept = {"story": "half-way through my holiday", "name": "Orla Fennimore", "address": "3 Quay Lane"}
    kept.pop(field, None)
    assert all(text in response.text for text in kept.values())
    assert chosen_in(response.text, "opened_before") == "no"
    assert not Job.objects.exists()


def test_no_address_is_needed_for_what_is_collected(nobody):
    nobody.post(BOOK, booking_typed(return_by="collect", address=""))
    assert Job.objects.get().return_by == "collect"


def test_a_story_is_never_markup(nobody):
    story = "<script>alert(1)</script><b>bold</b> & more"
    bad = nobody.post(BOOK, booking_typed(story=story, maker=""))
    nobody.post(BOOK, booking_typed(story=story))
    page = nobody.get(reverse("my", args=[Job.objects.get().shown_ref])).text
    for text in (bad.text, page):
        assert "<script>alert" not in text
        assert "&lt;script&gt;alert(1)&lt;/script&gt;&lt;b&gt;bold&lt;/b&gt; &amp; more" in text


def test_photographs_stay_in_the_basket_when_something_else_is_wrong(nobody):
    response = nobody.post(BOOK, booking_typed(maker="", photos=[jpeg("front.jpg"), jpeg("top.jpg")]))
    assert response.status_code == 422
    assert "front.jpg" in response.text
    assert "top.jpg" in response.text
    assert Photo.objects.filter(job__isnull=True).count() == 2


def test_photographs_of_the_basket_go_with_the_job(nobody):
    nobody.post(BOOK, booking_typed(maker="", photos=[jpeg("front.jpg")]))
    nobody.post(BOOK, booking_typed(photos=[jpeg("top.jpg")]))
    job = Job.objects.get()
    assert sorted(job.photos.values_list("file_name", flat=True)) == ["front.jpg", "top.jpg"]
    assert set(job.photos.values_list("purpose", "by_kind", "basket")) == {("story", "customer", None)}
    assert job.entries.get(kind=Kind.BOOKED).data["photos"] == 2


def test_the_next_booking_begins_with_an_empty_basket(nobody):
    nobody.post(BOOK, booking_typed(photos=[jpeg("front.jpg")]))
    assert "front.jpg" not in nobody.get(BOOK).text


def test_a_photograph_can_be_taken_out_again_and_what_was_typed_stays(nobody):
    nobody.post(BOOK, booking_typed(maker="", photos=[jpeg("front.jpg"), jpeg("top.jpg")]))
    uid = Photo.objects.get(file_name="front.jpg").uid
    response = nobody.post(BOOK, booking_typed(remove=str(uid)))
    assert response.status_code == 200
    assert "front.jpg" not in response.text
    assert "top.jpg" in response.text
    assert "half-way through my holiday" in response.text
    assert not Photo.objects.filter(uid=uid).exists()


def test_nobody_takes_a_photograph_out_of_anothers_basket(nobody):
    nobody.post(BOOK, booking_typed(maker="", photos=[jpeg("front.jpg")]))
    uid = Photo.objects.get().uid
    Client().post(BOOK, booking_typed(remove=str(uid)))
    assert Photo.objects.filter(uid=uid).exists()


def test_more_than_six_are_left_out_with_a_sentence(nobody):
    response = nobody.post(BOOK, booking_typed(photos=[jpeg(f"{n}.jpg", n) for n in range(8)]))
    assert response.status_code == 422
    assert "Six photographs are as many as we take here" in response.text
    assert Photo.objects.count() == 6
    assert not Job.objects.exists()


def test_what_is_no_photograph_is_named_at_the_field_and_the_others_are_kept(nobody):
    from django.core.files.uploadedfile import SimpleUploadedFile

    letter = SimpleUploadedFile("letter.jpg", b"%PDF-1.7 not a photo at all", "image/jpeg")
    response = nobody.post(BOOK, booking_typed(photos=[letter, jpeg("front.jpg")]))
    assert response.status_code == 422
    assert "letter.jpg:" in response.text
    assert list(Photo.objects.values_list("file_name", flat=True)) == ["front.jpg"]


def test_adding_photographs_finds_no_fault_with_the_rest_yet(nobody):
    response = nobody.post(BOOK, booking_typed(maker="", do="photos", photos=[jpeg("front.jpg")]))
    assert response.status_code == 200
    assert "front.jpg" in response.text
    assert "Write the maker’s name" not in response.text
    assert not Job.objects.exists()


def test_with_htmx_only_the_basket_comes_back(nobody):
    sent = {"do": "photos", "photos": [jpeg("front.jpg")]}
    response = nobody.post(BOOK, sent, headers=HTMX | {"HX-Target": "basket"})
    assert "<html" not in response.text
    assert "front.jpg" in response.text
    assert "every 3s" in response.text  # until it is developed


def test_a_developed_photograph_shows_and_a_broken_one_says_so(nobody):
    nobody.post(BOOK, booking_typed(maker="", photos=[jpeg("front.jpg"), jpeg("broken.jpg")]))
    front, broken = Photo.objects.order_by("pk")
    photo_is_ready(front, width=640, height=480, sizes={"400": "ab/x.jpg"})
    photo_failed(broken, "We could not open this photo.")
    page = nobody.get(BOOK).text
    assert reverse("photo", args=[front.uid, 400]) in page
    assert "We could not open this photo." in page
    assert "every 3s" not in page


@pytest.mark.both
def test_the_same_form_sent_twice_books_once(nobody):
    typed = booking_typed()
    first, second = nobody.post(BOOK, typed), nobody.post(BOOK, typed)
    assert first["Location"] == second["Location"] == "/booked/"
    assert Job.objects.count() == 1


@pytest.mark.both
@pytest.mark.django_db(transaction=True)
def test_two_at_the_same_moment_book_once(workshop):
    browser = Client()
    browser.get(BOOK)
    typed = booking_typed()
    answers = []

    def tap():
        tapping = Client()
        tapping.cookies = browser.cookies
        answers.append(tapping.post(BOOK, typed).status_code)
        connection.close()

    taps = [threading.Thread(target=tap) for _ in range(2)]
    [each.start() for each in taps]
    [each.join() for each in taps]
    assert answers == [303, 303]
    assert (Job.objects.count(), Customer.objects.count()) == (1, 1)


def test_after_ten_bookings_in_an_hour_a_network_has_to_wait_and_nothing_typed_is_lost(nobody):
    for _ in range(10):
        nobody.post(BOOK, booking_typed())
    response = nobody.post(BOOK, booking_typed())
    assert response.status_code == 429
    assert "Many bookings came from your network" in response.text
    assert "half-way through my holiday" in response.text
    assert Job.objects.count() == 10


def test_the_form_names_every_field_it_asks(nobody):
    words = words_of(nobody.get(BOOK).text)
    for asked in (
        "Maker",
        "Model",
        "Serial number",
        "What did you notice?",
        "Is there film inside?",
        "Has anybody had it open?",
    ):
        assert asked in words
