"""Questions, how we reach you, sending it back, the warranty, photographs, the library, home."""

from datetime import timedelta
from uuid import uuid4

import pytest
import time_machine
from django.utils import timezone

from jobs.actions.linking import issue_link, note_opening
from jobs.actions.photo import photo_is_ready
from jobs.models import Job, Kind, Photo, PrivateLink, Question, Warranty
from jobs.words import Stage
from tests.portal.customer.pages import follow, to, words_of


def once() -> str:
    return str(uuid4())


# --- questions -------------------------------------------------------------------------------------------------------
def test_a_question_goes_to_the_bench(cast, as_customer):
    job = cast.job_at(Stage.EXAMINING)
    visitor = as_customer(job)
    page = follow(
        visitor, visitor.post(to("my_questions", job), {"text": "Is my film lost?", "once": once()})
    )
    assert "Your question is at the bench." in page
    assert "Is my film lost?" in page
    assert Question.objects.get().job == job


@pytest.mark.both
def test_a_question_sent_twice_is_asked_once(cast, as_customer):
    job = cast.job_at(Stage.EXAMINING)
    typed = {"text": "Is my film lost?", "once": once()}
    for _ in range(2):
        assert as_customer(job).post(to("my_questions", job), typed).status_code == 303
    assert Question.objects.count() == 1


def test_an_empty_question_is_not_asked(cast, as_customer):
    job = cast.job_at(Stage.EXAMINING)
    response = as_customer(job).post(to("my_questions", job), {"text": "", "once": once()})
    assert response.status_code == 422
    assert "Write your question first." in response.text


@pytest.mark.both
def test_too_long_a_question_is_kept_as_typed(cast, as_customer):
    job = cast.job_at(Stage.EXAMINING)
    response = as_customer(job).post(to("my_questions", job), {"text": "why " * 600, "once": once()})
    assert response.status_code == 422
    assert "why why why" in response.text


def test_a_question_can_be_about_a_finding(cast, as_customer):
    job = cast.job_at(Stage.EXAMINING)
    found = cast.post_finding(job)
    about = f"finding-{found.pk}"
    assert (
        "About: A screw had dropped" in as_customer(job).get(to("my_questions", job), {"about": about}).text
    )
    as_customer(job).post(to("my_questions", job), {"text": "How?", "about": about, "once": once()})
    assert Question.objects.get().finding == found


@pytest.mark.parametrize("about", ["finding", "line"])
def test_a_question_cannot_be_about_another_jobs_finding_or_line(cast, as_customer, about):
    other = cast.job_at(Stage.QUOTED, cast.another_book())
    number = other.findings.get().pk if about == "finding" else other.quotes.get().lines.first().pk
    job = cast.job_at(Stage.QUOTED)
    typed = {"text": "How?", "about": f"{about}-{number}", "once": once()}
    assert as_customer(job).post(to("my_questions", job), typed).status_code == 404
    assert not Question.objects.exists()


def test_twenty_questions_an_hour_are_enough(cast, as_customer):
    job = cast.job_at(Stage.EXAMINING)
    visitor = as_customer(job)
    for n in range(20):
        visitor.post(to("my_questions", job), {"text": f"Question {n}", "once": once()})
    response = visitor.post(to("my_questions", job), {"text": "One more", "once": once()})
    assert response.status_code == 422
    assert "One more" in response.text


# --- how we reach you ------------------------------------------------------------------------------------------------
def test_telephone_address_and_letters_can_be_changed(cast, as_customer):
    job = cast.book()
    typed = {"telephone": "01632 960999", "address": "9 High Street"}
    as_customer(job).post(to("my_settings", job), typed)
    job.customer.refresh_from_db()
    assert (job.customer.telephone, job.customer.address, job.customer.wants_progress) == (
        *typed.values(),
        False,
    )


def test_a_bad_telephone_number_is_said_and_the_rest_kept(cast, as_customer):
    job = cast.book()
    response = as_customer(job).post(
        to("my_settings", job), {"telephone": "ring me", "address": "9 High Street"}
    )
    assert response.status_code == 422
    assert "9 High Street" in response.text
    job.customer.refresh_from_db()
    assert job.customer.telephone == "01632 960142"


def test_the_devices_that_opened_the_link_are_counted(cast, as_customer):
    job = cast.book()
    issue_link(job)
    link = PrivateLink.objects.filter(job=job).first()
    for device in ("a", "b", "a"):
        note_opening(link, device)
    assert "opened on 2 devices" in as_customer(job).get(to("my_settings", job)).text


def test_a_device_that_opened_many_letters_is_told_once(cast, as_customer):
    job = cast.book()
    issue_link(job), issue_link(job)
    for link in PrivateLink.objects.filter(job=job):
        note_opening(link, "a")
    page = as_customer(job).get(to("my_settings", job)).text
    assert "opened on one device" in page
    assert page.count("First on") == 1


def test_the_address_that_a_parcel_home_needs_is_not_emptied(cast, as_customer):
    job = cast.book()
    response = as_customer(job).post(to("my_settings", job), {"telephone": "01632 960999", "address": ""})
    assert response.status_code == 422
    assert "Write the address where we send it." in response.text
    before = job.customer.address
    job.customer.refresh_from_db()
    assert job.customer.address == before


def test_the_address_of_something_that_is_collected_may_be_emptied(cast, as_customer):
    job = cast.book(return_by="collect")
    as_customer(job).post(to("my_settings", job), {"telephone": "", "address": ""})
    job.customer.refresh_from_db()
    assert job.customer.address == ""


def test_a_new_link_is_asked_for_three_times_an_hour_at_most(cast, as_customer):
    job = cast.book()
    visitor = as_customer(job)
    pages = [follow(visitor, visitor.post(to("my_settings", job), {"do": "link"})) for _ in range(4)]
    assert "A letter with a new link is on its way to you." in pages[0]
    assert "three links in this hour" in pages[3]
    assert job.entries.filter(kind=Kind.LINK_ASKED).count() == 3


def test_every_other_link_can_be_closed(cast, as_customer):
    job = cast.book()
    here, elsewhere = as_customer(job), as_customer(job)
    here.post(to("my_settings", job), {"do": "close"})
    assert here.get(to("my", job)).status_code == 200
    assert elsewhere.get(to("my", job)).status_code == 403


# --- sending it back -------------------------------------------------------------------------------------------------
def test_what_it_costs_and_means_is_said_first(cast, as_customer):
    words = words_of(as_customer(job := cast.job_at(Stage.QUOTED)).get(to("my_leave", job)).text)
    assert "Examination £25 Insured post home £12 Together £37" in words
    assert "There is no warranty, because it is not mended." in words


def test_before_it_is_sent_calling_it_off_costs_nothing(cast, as_customer):
    assert "That costs you nothing." in as_customer(job := cast.book()).get(to("my_leave", job)).text


def test_a_typed_name_confirms_it_and_the_journal_keeps_it(cast, as_customer):
    job = cast.job_at(Stage.QUOTED)
    visitor = as_customer(job)
    page = follow(
        visitor, visitor.post(to("my_leave", job), {"name": "Orla M. Fennimore", "because": "Too dear"})
    )
    assert "It is done as you asked." in page
    entry = job.entries.get(kind=Kind.WITHDRAWN)
    assert (entry.by_name, entry.data["because"], entry.data["cost"]) == (
        "Orla M. Fennimore",
        "Too dear",
        3700,
    )


def test_without_a_name_nothing_happens_and_the_reason_is_kept(cast, as_customer):
    job = cast.job_at(Stage.QUOTED)
    response = as_customer(job).post(to("my_leave", job), {"name": "", "because": "Too dear"})
    assert response.status_code == 422
    assert "Too dear" in response.text
    job.refresh_from_db()
    assert job.stage == Stage.QUOTED


def test_sending_it_back_twice_is_once(cast, as_customer):
    job = cast.job_at(Stage.QUOTED)
    for _ in range(2):
        assert as_customer(job).post(to("my_leave", job), {"name": "Orla"}).status_code == 303
    assert job.entries.filter(kind=Kind.WITHDRAWN).count() == 1


def test_once_the_work_has_begun_it_cannot_go_back_as_it_is(cast, as_customer):
    job = cast.job_at(Stage.IN_WORK)
    assert "The work has begun" in as_customer(job).get(to("my_leave", job)).text
    response = as_customer(job).post(to("my_leave", job), {"name": "Orla"})
    assert response.status_code == 422
    job.refresh_from_db()
    assert job.stage == Stage.IN_WORK


# --- the warranty ----------------------------------------------------------------------------------------------------
@pytest.fixture
def home(cast):
    job = cast.job_at(Stage.QUOTED)
    cast.post_finding(job, "The covering has shrunk", mechanism="covering", effect="looks")
    cast.agree(job.quotes.open().get())
    for step in (Stage.IN_WORK, Stage.PROVING, Stage.READY, Stage.RETURNED):
        cast._road(step)[-1](job)
    cast.home(job)
    return job


def test_what_is_covered_is_said_with_its_days(as_customer, home):
    words = words_of(as_customer(home).get(to("my_warranty", home)).text)
    assert "Free the winding gears (film transport)" in words
    assert "days left" in words


def test_what_is_not_covered_says_why(as_customer, home):
    words = words_of(as_customer(home).get(to("my_warranty", home)).text)
    assert "The covering has shrunk We told you about this and it was left as it is." in words


def test_rights_by_law_are_left_alone(as_customer, home):
    assert "It comes on top of your rights by law" in as_customer(home).get(to("my_warranty", home)).text


def test_a_cover_counts_its_last_day_and_then_ends(as_customer, home):
    until = Warranty.objects.get().covers.exclude(until=None).get().until
    days = (until - timezone.localdate()).days
    with time_machine.travel(timezone.now() + timedelta(days=days), tick=False):
        PrivateLink.objects.update(expires_at=timezone.now() + timedelta(days=9))
        assert "1 day left" in as_customer(home).get(to("my_warranty", home)).text
    with time_machine.travel(timezone.now() + timedelta(days=days + 1), tick=False):
        assert "Nothing is covered any more" in as_customer(home).get(to("my_warranty", home)).text


def test_a_claim_is_a_job_of_its_own_that_this_browser_may_open(as_customer, home):
    visitor = as_customer(home)
    page = follow(visitor, visitor.post(to("my_claim", home), {"story": "It slips again."}))
    claim = Job.objects.get(claim_on=home)
    assert claim.shown_ref in page
    assert "It slips again." in page


@pytest.mark.both
def test_a_claim_sent_twice_is_opened_once(as_customer, home):
    visitor = as_customer(home)
    places = {visitor.post(to("my_claim", home), {"story": "It slips again."})["Location"] for _ in range(2)}
    assert len(places) == 1
    assert Job.objects.filter(claim_on=home).count() == 1


def test_a_second_claim_while_one_is_open_is_refused_by_name(as_customer, home):
    visitor = as_customer(home)
    visitor.post(to("my_claim", home), {"story": "It slips again."})
    response = visitor.post(to("my_claim", home), {"story": "And it squeaks."})
    assert response.status_code == 422
    assert "is already open" in response.text
    assert "And it squeaks." in response.text


def test_a_claim_needs_a_story(as_customer, home):
    response = as_customer(home).post(to("my_claim", home), {"story": " "})
    assert response.status_code == 422
    assert "Tell us what you notice." in response.text


def test_before_it_is_home_there_is_no_warranty_to_claim_on(cast, as_customer):
    job = cast.job_at(Stage.READY)
    assert "No warranty yet" in as_customer(job).get(to("my_warranty", job)).text
    assert as_customer(job).post(to("my_claim", job), {"story": "x"}).status_code == 422


# --- photographs -----------------------------------------------------------------------------------------------------
@pytest.fixture
def album(cast):
    job = cast.job_at(Stage.EXAMINING)
    photos = [Photo.objects.create(job=job, purpose="arrival", caption=f"Picture {n}") for n in range(3)]
    for photo in photos:
        photo_is_ready(photo, width=1200, height=900, sizes={"400": "ab/a.jpg", "1600": "ab/b.jpg"})
    return job, photos


def test_a_photograph_stands_large_between_its_neighbours(as_customer, album):
    job, photos = album
    page = as_customer(job).get(to("my_photo", job, photos[1].uid)).text
    assert "2 of 3" in page
    assert f'href="{to("my_photo", job, photos[0].uid)}"' in page
    assert f'href="{to("my_photo", job, photos[2].uid)}"' in page


def test_the_first_photograph_has_nothing_before_it(as_customer, album):
    job, photos = album
    page = as_customer(job).get(to("my_photo", job, photos[0].uid)).text
    assert ">Previous</a>" not in page
    assert ">Next</a>" in page


def test_a_photograph_of_another_job_is_not_there(cast, as_customer, album):
    _job, photos = album
    other = cast.another_book()
    assert as_customer(other).get(to("my_photo", other, photos[0].uid)).status_code == 404


# --- open to all -----------------------------------------------------------------------------------------------------
def test_home_says_who_and_where_and_when(cast, nobody):
    words = words_of(nobody.get("/").text)
    assert "Tidewater Camera Works" in words
    assert "1 Slipway Saltmere Tuesday to Saturday, 10 to 5" in words


def test_home_asks_for_the_way_to_a_repair_that_is_here(cast, nobody):
    page = nobody.get("/").text
    assert 'action="/find/"' in page
    assert 'name="contact"' in page


def test_the_library_lists_every_explanation(cast, nobody):
    from jobs.library import entries

    page = nobody.get("/library/").text
    assert all(f"/library/{key}/" in page for key in entries())


def test_an_explanation_that_never_was_is_not_found(cast, nobody):
    assert nobody.get("/library/lens/moonlight/").status_code == 404
