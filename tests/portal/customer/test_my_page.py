"""The page of a job: whose move, what next, when; then all that is known, truly and completely."""

from datetime import timedelta

import pytest
import time_machine
from django.utils import timezone

from jobs.actions import arriving, asking, finding, promising, quote, working
from jobs.actions.photo import Ring, describe_photo, photo_is_ready
from jobs.actor import Actor
from jobs.models import Finding, Photo
from jobs.words import Stage
from tests.once import made_once
from tests.portal.customer.pages import HTMX, to, words_of


def read(as_customer, job) -> str:
    return as_customer(job).get(to("my", job)).text


def ready_photo(job, finding=None, rings=(), **more) -> Photo:
    photo = Photo.objects.create(
        job=job, finding=finding, purpose="finding" if finding else "arrival", **more
    )
    photo_is_ready(photo, width=1200, height=900, sizes={"400": "ab/a.jpg", "800": "ab/b.jpg"})
    photo.refresh_from_db()
    if rings:
        describe_photo(
            photo,
            caption="Under the cover",
            finding=finding,
            rings=[Ring(n, *at) for n, at in enumerate(rings, 1)],
        )
    return photo


def test_the_heading_says_whose_move_it_is(cast, as_customer):
    assert "<h1>It is your move, Orla.</h1>" in read(as_customer, cast.job_at(Stage.QUOTED))


def test_dates_are_said_with_what_they_depend_on(cast, as_customer):
    words = words_of(read(as_customer, cast.job_at(Stage.QUOTED)))
    likely = timezone.localdate() + timedelta(days=16)
    assert "If you answer soon, it is back with you" in words
    assert f"{likely:%A}"[:3] in words
    assert str(likely.day) in words


def test_once_answered_the_dates_depend_on_nothing_more(cast, as_customer):
    words = words_of(read(as_customer, cast.job_at(Stage.AGREED)))
    assert "If you answer soon" not in words
    assert "It is back with you likely by" in words


def test_the_dates_of_what_is_collected_are_those_of_collecting(cast, as_customer):
    words = words_of(read(as_customer, cast.job_at(Stage.AGREED, return_by="collect")))
    assert "It is ready to collect likely by" in words
    assert "back with you" not in words


def test_without_dates_the_page_says_why(cast, as_customer):
    assert "We can give dates once we have looked inside." in read(as_customer, cast.job_at(Stage.ARRIVED))


def test_a_date_that_has_passed_is_owned_up_to(cast, as_customer):
    job = cast.job_at(Stage.AGREED)
    promising.promise(job, timezone.localdate(), timezone.localdate() + timedelta(days=3), cast.technician)
    with time_machine.travel(timezone.now() + timedelta(days=2), tick=False):
        assert "The likely day has passed. It can still be ready by the second." in read(as_customer, job)
    with time_machine.travel(timezone.now() + timedelta(days=4), tick=False):
        assert "Both days have passed, and we are sorry." in read(as_customer, job)


@pytest.mark.parametrize(
    ("stage", "button"),
    [
        (Stage.EXPECTED, "I have posted it"),
        (Stage.QUOTED, "Read and answer the quote"),
        (Stage.EXAMINING, None),
        (Stage.IN_WORK, None),
    ],
)
def test_there_is_at_most_one_button(cast, as_customer, stage, button):
    page = read(as_customer, cast.job_at(stage))
    assert page.count('class="act"') == (1 if button else 0)
    assert button is None or button in page


def test_packing_advice_and_the_address_stand_on_the_page_until_it_is_posted(cast, as_customer):
    job = cast.book()
    page = read(as_customer, job)
    assert 'href="#packing"' in page
    assert "Tidewater Camera Works 1 Slipway Saltmere" in words_of(page)
    arriving.say_posted(job, Actor.customer(job.customer))
    assert 'id="packing"' not in read(as_customer, job)


def test_what_can_be_collected_is_said_with_the_opening_hours(cast, as_customer):
    page = read(as_customer, cast.job_at(Stage.READY, return_by="collect"))
    assert "We are open: Tuesday to Saturday, 10 to 5." in words_of(page)


def test_the_story_and_its_answer_stand_together(cast, as_customer):
    words = words_of(read(as_customer, cast.job_at(Stage.QUOTED)))
    assert (
        "You asked “I pushed the lever a bit harder and then it went slack. Did I break it?” No. A loose screw"
        in words
    )


def test_a_story_without_a_question_was_told_not_asked(cast, as_customer):
    words = words_of(read(as_customer, cast.book(story="It will not wind on.")))
    assert "You told us “It will not wind on.”" in words


def test_a_long_story_is_kept_whole_behind_a_disclosure(cast, as_customer):
    story = "First it clicked. " * 30 + "Then it stopped. Why?"
    page = read(as_customer, cast.book(story=story))
    assert 'id="story-rest"' in page
    assert "Then it stopped. Why?”" in page


def test_findings_stand_worst_first_and_withdrawn_ones_last(cast, as_customer):
    job = cast.job_at(Stage.EXAMINING)
    cast.post_finding(job, "The covering has shrunk", effect="looks")
    gone = cast.post_finding(job, "The seals are sticky", effect="stops")
    cast.post_finding(job, "The lens is hazy", effect="pictures")
    finding.withdraw_finding(gone, "It was dust.", cast.technician)
    page = read(as_customer, job)
    places = [
        page.index(f">{title}</h3>")
        for title in ("The lens is hazy", "The covering has shrunk", "The seals are sticky")
    ]
    assert places == sorted(places)
    assert "We took this back. It was dust." in words_of(page)


def test_a_finding_that_was_never_posted_is_not_there_nor_its_photograph(cast, as_customer):
    job = cast.job_at(Stage.EXAMINING)
    kept = finding.keep(job, finding.Draft("lens", "seen", "explains", "pictures", "Not ready to be read"))
    photo = ready_photo(job, kept)
    page = read(as_customer, job)
    assert "Not ready to be read" not in page
    assert str(photo.uid) not in page


def test_a_correction_shows_what_it_said_before_and_why(cast, as_customer):
    job = cast.job_at(Stage.EXAMINING)
    said = cast.post_finding(job, "One screw is torn", text="The slot is torn.")
    finding.correct(
        said,
        finding.Draft("body", "seen", "earlier", "know", "Two screws are torn"),
        "We looked again.",
        cast.technician,
    )
    words = words_of(read(as_customer, job))
    assert "Two screws are torn" in words
    assert "We looked again. What it said before One screw is torn Seen." in words
    assert "The slot is torn." in words


def test_a_photograph_stands_with_its_finding_marks_and_all(cast, as_customer):
    job = cast.job_at(Stage.EXAMINING)
    photo = ready_photo(job, cast.post_finding(job, certainty="inferred"), rings=[(400, 400), (600, 700)])
    page = read(as_customer, job)
    assert f'href="{to("my_photo", job, photo.uid)}"' in page
    assert page.count('class="disc"') == 2
    assert 'class="w dash"' in page  # a guess is drawn broken


@pytest.fixture
def explained(cast):
    from jobs.library import get
    from jobs.library.facts import examples

    job = made_once(cast.job_at, Stage.EXAMINING)
    key = "lens/haze-inside"
    return cast.post_finding(job, certainty="untried", explanation=key, facts=examples(get(key).fields))


def test_an_explanation_is_fetched_when_it_is_opened_with_its_drawing_and_cautions(as_customer, explained):
    visitor, job = as_customer(explained.job), explained.job
    address = to("my_explained", job, explained.pk)
    assert f'hx-get="{address}"' in visitor.get(to("my", job)).text
    fragment = visitor.get(address, headers=HTMX).text
    assert "<html" not in fragment
    assert "<svg" in fragment
    assert "Take care" in fragment


def test_without_scripts_an_explanation_has_a_page_with_its_words(as_customer, explained):
    visitor, job = as_customer(explained.job), explained.job
    page = visitor.get(to("my_explained", job, explained.pk)).text
    assert "<html" in page
    assert 'id="word-haze"' in page
    assert 'href="#word-haze"' in page


def test_the_words_of_the_trade_stand_once_on_the_page(cast, as_customer, explained):
    cast.post_finding(explained.job, explanation=explained.explanation, facts=explained.facts)
    assert read(as_customer, explained.job).count('id="word-haze"') == 1


def test_an_explanation_of_another_job_is_not_there(cast, as_customer, explained):
    other = cast.another_book()
    assert as_customer(other).get(to("my_explained", other, explained.pk)).status_code == 404


def test_the_quotes_state_is_told(cast, as_customer):
    assert "Nothing is agreed until you sign." in read(as_customer, cast.job_at(Stage.QUOTED))
    agreed = words_of(read(as_customer, cast.job_at(Stage.AGREED)))
    assert "Agreed on" in agreed
    assert "by Orla Fennimore, for £97 together:" in agreed
    assert "You said no to: New covering on the front." in agreed


def test_a_lapsed_quote_can_be_asked_for_again(cast, as_customer):
    job = cast.job_at(Stage.QUOTED)
    with time_machine.travel(timezone.now() + timedelta(days=40), tick=False):
        page = read(as_customer, job)
    assert "See the quote, and ask us to renew it" in page
    assert "Read and answer the quote" not in page


def test_a_part_that_is_awaited_is_named_with_its_day(cast, as_customer):
    job = cast.job_at(Stage.AGREED)
    working.await_part(
        job, "Rewind fork", cast.technician, expected_on=timezone.localdate() + timedelta(days=9)
    )
    assert "Rewind fork: ordered on" in read(as_customer, job)
    working.part_came(job, cast.technician)
    assert "Rewind fork: ordered on" not in read(as_customer, job)


def test_measured_times_are_told_in_words_and_in_a_table(cast, as_customer):
    job = cast.job_at(Stage.EXAMINING)
    working.measure(job, "1", 1_900_000, after_work=False)
    words = words_of(read(as_customer, job))
    assert "As it came, 1 second took 1.9 s. That is too long" in words
    assert "1.9 s +0.9 stop" in words


def test_the_tests_of_the_proving_are_told(cast, as_customer):
    assert "Film transport 36 frames, even gaps." in words_of(read(as_customer, cast.job_at(Stage.READY)))


def test_questions_and_answers_stand_on_the_page(cast, as_customer):
    job = cast.job_at(Stage.EXAMINING)
    asked = asking.ask(job, "Is my film lost?", Actor.customer(job.customer), "one")
    assert "It lies at the bench" in read(as_customer, job)
    asking.answer(asked, "No, it is in the case.", cast.technician)
    assert "Is my film lost? Jory Pell" in words_of(read(as_customer, job)).replace("Jory Pell,", "Jory Pell")


def test_what_staff_keep_to_themselves_is_not_told(cast, as_customer):
    from jobs import journal
    from jobs.actions.moving import changing
    from jobs.models import Kind

    job = cast.job_at(Stage.QUOTED)
    with changing(job) as fresh:
        journal.append(fresh, Kind.CALLED, cast.owner, {"note": "rather grumpy", "said": "rather grumpy"})
    assert "rather grumpy" not in read(as_customer, job)


def test_the_claims_and_the_covers_stand_on_the_page_of_a_job_that_is_home(cast, as_customer):
    words = words_of(read(as_customer, cast.home()))
    assert "Free the winding gears until" in words
    assert "All that is covered, what is not, and how to claim" in words


def test_a_photograph_that_could_not_be_read_is_named_to_the_one_who_sent_it(cast, as_customer):
    job = cast.book()
    Photo.objects.create(
        job=job,
        purpose="story",
        by_kind="customer",
        file_name="blurred.jpg",
        state="failed",
        problem="Cut off.",
    )
    assert "blurred.jpg : Cut off." in words_of(read(as_customer, job))


def test_saying_that_it_is_posted_hands_the_move_to_the_post(cast, as_customer):
    job = cast.book()
    visitor = as_customer(job)
    for _ in range(2):
        assert visitor.post(to("my_posted", job), {"sent_with": "SP 4411"}).status_code == 303
    assert "It is in the post." in visitor.get(to("my", job)).text
    assert job.entries.get(kind="posted").data == {"sent_with": "SP 4411"}


def test_a_press_alone_does_not_say_that_it_is_posted(cast, as_customer):
    job = cast.book()
    response = as_customer(job).post(to("my_posted", job))
    assert response.status_code == 422
    assert "Write who carries it, or the number to follow it by." in response.text
    assert not job.entries.filter(kind="posted").exists()


def test_posting_after_it_has_arrived_changes_nothing(cast, as_customer):
    job = cast.job_at(Stage.ARRIVED)
    assert as_customer(job).post(to("my_posted", job), {"sent_with": "SP 4411"}).status_code == 303
    job.refresh_from_db()
    assert job.stage == Stage.ARRIVED


@pytest.mark.parametrize(
    ("stage", "words"), [(Stage.EXPECTED, "Call it off"), (Stage.AGREED, "Have it sent back as it is")]
)
def test_until_the_work_begins_there_is_a_way_to_call_it_off(cast, as_customer, stage, words):
    job = cast.job_at(stage)
    assert words in read(as_customer, job)
    assert to("my_leave", job) in read(as_customer, job)


def test_once_the_work_has_begun_there_is_none(cast, as_customer):
    job = cast.job_at(Stage.IN_WORK)
    assert to("my_leave", job) not in read(as_customer, job)


def test_text_from_people_is_never_markup(cast, as_customer):
    job = cast.job_at(Stage.EXAMINING)
    evil = "<script>alert(1)</script>"
    cast.post_finding(job, title=evil, text=evil)
    asking.ask(job, evil, Actor.customer(job.customer), "one")
    finding.answer_story(job, evil, cast.technician)
    assert evil not in read(as_customer, job)


def test_a_quote_taken_back_is_said_so(cast, as_customer):
    job = cast.job_at(Stage.QUOTED)
    quote.take_back_quote(job, cast.technician)
    assert "We took the quote back to look further." in read(as_customer, job)


def test_what_came_and_its_condition_are_told(cast, as_customer):
    job = cast.book()
    arriving.receive(job, arriving.Parcel(condition="A dent at the corner."), cast.technician)
    ready_photo(job)
    assert "As it arrived: A dent at the corner." in words_of(read(as_customer, job))
    assert not Finding.objects.exists()
