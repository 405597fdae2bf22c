import re
from datetime import timedelta
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from jobs.actions import asking
from jobs.actions.enquiring import enquire
from jobs.actions.promising import promise
from jobs.actor import Actor
from jobs.models import Enquiry, Entry, Job, Kind, Photo, Quote
from jobs.words import Stage
from notifications.chasing import keeping, pause, resume
from notifications.mailbox import keep_account
from notifications.models import Letter, Nudge, Owing
from portal.models import Pulse
from portal.schedule import QUEUES
from tests.cast import Cast
from tests.once import made_once
from tests.portal.conftest import Visitor

pytestmark = pytest.mark.django_db


@pytest.fixture
def owner(cast: Cast, as_staff: Visitor) -> Client:
    return as_staff(cast.owner_user)


@pytest.fixture(autouse=True)
def pulses(db: None) -> None:
    Pulse.objects.bulk_create(Pulse(queue=queue, felt_at=timezone.now()) for queue in QUEUES)


def read(client: Client, path: str = "/office/") -> str:
    """The words of the page, without markup."""
    answer = client.get(path)
    assert answer.status_code == 200
    return re.sub(r"\s+", " ", re.sub(r"<[^>]*>", " ", answer.content.decode().partition("<main")[2]))


def wait(job: Job, days: int) -> None:
    since = timezone.now() - timedelta(days=days)
    Job.objects.filter(pk=job.pk).update(holder_since=since)
    job.quotes.update(sent_at=since)


def test_the_state_stands_first_in_two_sentences(cast: Cast, owner: Client) -> None:
    wait(cast.job_at(Stage.QUOTED), 19)
    cast.job_at(Stage.IN_WORK, name="Anselm Okoro-Byrne", email="anselm@example.net")
    page = read(owner)
    assert "One answer is owed to us." in page
    assert "The oldest has waited 19 days" in page
    assert "£97 is agreed and not yet earned" in page


def test_who_has_to_post_it_to_pay_or_to_fetch_it_owes_no_answer(cast: Cast, owner: Client) -> None:
    cast.job_at(Stage.EXPECTED)
    Job.objects.filter(pk=cast.job_at(Stage.READY).pk).update(holder="customer")
    page = read(owner)
    assert "Nobody owes us an answer." in page
    assert "The oldest" not in page


def test_one_thing_more_is_an_answer_owed_while_the_work_goes_on(cast: Cast, owner: Client) -> None:
    job = cast.job_at(Stage.IN_WORK)
    quote = cast.send_quote(job)
    quote_sent = timezone.now() - timedelta(days=3)
    job.quotes.filter(pk=quote.pk).update(sent_at=quote_sent)
    page = read(owner)
    assert "One answer is owed to us. The oldest has waited 3 days" in page
    assert "in work; they owe an answer to one thing more" in page
    assert "£97 (£97–£139)" in page


def test_questions_of_ours_are_one_answer_for_each_job(cast: Cast, owner: Client) -> None:
    job = cast.job_at(Stage.EXAMINING)
    for days in (5, 2):
        asked_at = timezone.now() - timedelta(days=days)
        Enquiry.objects.create(job=job, text="Which film?", asked_at=asked_at, once=f"once-{days}")
    assert "One answer is owed to us. The oldest has waited 5 days" in read(owner)
    job.enquiries.update(dropped_at=timezone.now())
    assert "Nobody owes us an answer." in read(owner)


def test_a_question_left_open_is_no_answer_owed_once_the_job_is_over(cast: Cast, owner: Client) -> None:
    job = cast.job_at(Stage.PROVING)
    enquire(job, "Shall the dent stay?", cast.owner, "once")
    assert "One answer is owed to us." in read(owner)
    cast.finish(job)
    assert "Nobody owes us an answer." in read(owner)


def test_a_promise_that_is_not_ours_any_more_is_not_said_to_have_passed(cast: Cast, owner: Client) -> None:
    job = cast.job_at(Stage.READY)
    past = timezone.localdate() - timedelta(days=2)
    Job.objects.filter(pk=job.pk).update(likely_by=past, surely_by=past, holder="customer")
    assert "passed" not in read(owner)


def test_an_empty_office_says_so(cast: Cast, owner: Client) -> None:
    page = read(owner)
    assert "Nobody owes us an answer." in page
    assert "No job is open." in page


def test_jobs_are_grouped_by_whose_move_it_is_the_longest_wait_first(cast: Cast, owner: Client) -> None:
    new, old = cast.job_at(Stage.QUOTED), cast.job_at(Stage.QUOTED)
    wait(new, 2)
    wait(old, 9)
    cast.job_at(Stage.AWAITING_PART)
    page = read(owner)
    assert (
        page.index("The customer")
        < page.index(old.shown_ref)
        < page.index(new.shown_ref)
        < page.index("A supplier")
    )


def test_a_job_that_is_over_is_not_on_the_sheet(cast: Cast, owner: Client) -> None:
    home = cast.home()
    assert home.shown_ref not in read(owner)


def test_an_offer_stands_in_brackets_from_what_is_needed_to_everything(cast: Cast, owner: Client) -> None:
    cast.job_at(Stage.QUOTED)
    assert "(£97–£139)" in read(owner)


def test_an_agreed_sum_stands_alone(cast: Cast, owner: Client) -> None:
    cast.job_at(Stage.AGREED)
    assert re.search(r"£97(?! is)", read(owner))


def test_the_sheet_says_whether_the_quote_was_opened_since_it_was_sent(cast: Cast, owner: Client) -> None:
    job = cast.job_at(Stage.QUOTED)
    assert "not opened yet" in read(owner)
    Job.objects.filter(pk=job.pk).update(opened_at=timezone.now())
    assert "not opened yet" not in read(owner)
    Job.objects.filter(pk=job.pk).update(opened_at=timezone.now() - timedelta(days=3))
    assert "not opened yet" in read(owner)


def test_the_telephone_number_can_be_pressed(cast: Cast, owner: Client) -> None:
    cast.job_at(Stage.QUOTED)
    assert 'href="tel:01632960142"' in owner.get("/office/").content.decode()


def test_the_day_of_the_next_nudge_is_told_and_when_there_is_none_left_to_ring(
    cast: Cast, owner: Client
) -> None:
    job = cast.job_at(Stage.QUOTED)
    wait(job, 1)
    keeping.refresh_all()
    goes = Owing.objects.get(job=job).next_on
    assert goes
    told = f"reminder {goes:%a} {goes.day} {goes:%b}"
    assert told in read(owner)
    thing = f"quote-{job.quotes.open().get().pk}"
    Nudge.objects.bulk_create(Nudge(job=job, thing=thing, step=n, at=timezone.now()) for n in (1, 2, 3))
    keeping.refresh_all()
    assert told not in read(owner)
    assert "ring 01632 960142" in read(owner)


def test_for_the_seconds_until_the_relay_has_read_of_a_quote_nobody_is_told_to_ring(
    cast: Cast, owner: Client
) -> None:
    cast.job_at(Stage.QUOTED)
    page = read(owner)
    assert "they answer" in page
    assert "ring 01632 960142" not in page


def test_reminders_that_are_paused_are_told_as_such(cast: Cast, owner: Client) -> None:
    job = cast.job_at(Stage.QUOTED)
    pause(job, cast.owner)
    page = read(owner)
    assert "reminders are paused" in page
    assert "Nudge now" not in page
    assert "Nudge now" not in read(owner, f"/office/{job.shown_ref}/")
    assert "ring 01632 960142" not in page


def test_the_job_says_who_put_reminders_off_until_when_and_why(cast: Cast, owner: Client) -> None:
    job = cast.job_at(Stage.QUOTED)
    until = timezone.localdate() + timedelta(days=7)
    pause(job, cast.owner, until, "On holiday <b>")
    resume(job, cast.owner)
    page = read(owner, f"/office/{job.shown_ref}/")
    assert (
        f"Hester Quill put reminders off until {until:%A} {until.day} {until:%B}. On holiday &lt;b&gt;"
        in page
    )
    assert "Hester Quill took reminders up again." in page


def test_work_of_ours_that_goes_on_still_says_that_they_owe_us_an_answer(cast: Cast, owner: Client) -> None:
    job = cast.job_at(Stage.ARRIVED)
    assert "they owe an answer to our question" not in read(owner)
    enquire(job, "Which film did you use?", cast.owner, "once")
    keeping.refresh_all()
    assert "examine; they owe an answer to our question" in read(owner)


def test_a_question_comes_before_any_nudge(cast: Cast, owner: Client) -> None:
    job = cast.job_at(Stage.QUOTED)
    asking.ask(job, "Will it last?", Actor.customer(job.customer), "once")
    page = read(owner)
    assert "answer their question" in page
    assert "Nudge now" not in page


def test_one_press_nudges(cast: Cast, owner: Client) -> None:
    job = cast.job_at(Stage.QUOTED)
    answer = owner.post(f"/office/{job.shown_ref}/nudge/")
    assert (answer.status_code, answer["Location"]) == (303, "/office/")
    assert job.entries.filter(kind=Kind.NUDGED).count() == 1
    assert "A reminder to Orla Fennimore is on its way." in read(owner)


def test_a_second_press_is_refused_in_words(cast: Cast, owner: Client) -> None:
    job = cast.job_at(Stage.QUOTED)
    for _ in range(2):
        owner.post(f"/office/{job.shown_ref}/nudge/")
    assert job.entries.filter(kind=Kind.NUDGED).count() == 1
    assert "There is a reminder of" in read(owner)


def test_looking_nudges_nobody(cast: Cast, owner: Client) -> None:
    job = cast.job_at(Stage.QUOTED)
    assert owner.get(f"/office/{job.shown_ref}/nudge/").status_code == 405
    assert not job.entries.filter(kind=Kind.NUDGED).exists()


def test_a_lapsed_quote_is_renewed_by_one_press(cast: Cast, owner: Client) -> None:
    job = cast.job_at(Stage.QUOTED)
    job.quotes.update(state=Quote.State.LAPSED)
    assert "the quote has lapsed" in read(owner)
    owner.post(f"/office/{job.shown_ref}/renew/")
    assert job.quotes.open().get().n == 2


def test_promises_at_risk_and_passed_are_counted_and_listed(cast: Cast, owner: Client) -> None:
    today = timezone.localdate()
    for days in (-2, 1, 20):
        job = cast.job_at(Stage.IN_WORK)
        promise(job, today + timedelta(days=30), today + timedelta(days=40), cast.owner)
        Job.objects.filter(pk=job.pk).update(likely_by=today + timedelta(days=days))
    page = read(owner)
    assert "One promise is at risk" in page
    assert "One promise has passed" in page
    assert len(re.findall(r"likely \d", read(owner, "/office/?show=promises"))) == 2


def test_what_is_agreed_and_not_earned_is_listed(cast: Cast, owner: Client) -> None:
    agreed, ready = cast.job_at(Stage.AGREED), cast.job_at(Stage.READY)
    earning = read(owner, "/office/?show=money").partition("Agreed and not yet earned")[2]
    assert agreed.shown_ref in earning
    assert ready.shown_ref not in earning


def make_letter(job: Job, state: str, **more: Any) -> Letter:
    entry = job.entries.exclude(letters__person=job.customer).first()
    assert entry
    told = {
        "kind": "arrived",
        "subject": "It arrived safely",
        "text": "Dear Orla",
        "html": "<p>Dear Orla</p>",
        **more,
    }
    return Letter.objects.create(
        entry=entry,
        job=job,
        person=job.customer,
        message_id=f"<{entry.pk}@here>",
        to_address=job.customer.email,
        state=state,
        **told,
    )


def test_a_letter_that_the_provider_saw_arrive_is_said_to_be_delivered(cast: Cast, owner: Client) -> None:
    job = cast.job_at(Stage.QUOTED)
    make_letter(job, "sent", sent_at=timezone.now(), arrived_at=timezone.now())
    assert "letter delivered" in read(owner)


def test_the_fate_of_the_last_letter_stands_in_the_row(cast: Cast, owner: Client) -> None:
    job = cast.job_at(Stage.QUOTED)
    make_letter(job, "sent", sent_at=timezone.now())
    assert "letter sent" in read(owner)
    make_letter(job, "failed")
    assert "letter failed" in read(owner)


def test_letters_that_failed_are_told_at_the_top(cast: Cast, owner: Client) -> None:
    job = cast.job_at(Stage.QUOTED)
    make_letter(job, "failed")
    make_letter(job, "ambiguous")
    assert "Two letters did not get through." in read(owner)


def test_a_photograph_that_could_not_be_read_is_told(cast: Cast, owner: Client) -> None:
    job = cast.book()
    Photo.objects.create(job=job, purpose="story", state="failed", problem="cut short")
    assert f"A photograph of {job.shown_ref} could not be read." in read(owner)


def test_a_silent_worker_is_told(cast: Cast, owner: Client) -> None:
    assert "stands still" not in read(owner)
    Pulse.objects.update(felt_at=timezone.now() - timedelta(minutes=4))
    assert "The background work stands still" in read(owner)


@pytest.mark.parametrize("typed", ["müller", "MULLER", "pellam", "Six"])
def test_a_job_is_found_by_name_and_camera(cast: Cast, owner: Client, typed: str) -> None:
    job = cast.book(name="Jürgen Müller", maker="Pellam", model="Six Folder")
    cast.another_book()
    page = read(owner, f"/office/?find={typed}")
    assert job.shown_ref in page
    assert "Anselm" not in page


def test_a_job_is_found_by_a_reference_with_slips_even_when_it_is_over(cast: Cast, owner: Client) -> None:
    job = cast.home()
    typed = job.ref.lower().replace("0", "o").replace("1", "l")
    assert job.shown_ref in read(owner, f"/office/?find={typed}")


def test_what_is_looked_for_is_not_markup(cast: Cast, owner: Client) -> None:
    assert "<script>alert" not in owner.get("/office/?find=<script>alert(1)</script>").content.decode()


@pytest.mark.parametrize(
    "query",
    ["after=x", "after=customer:x", "after=customer:2026~a", "show=promises&after=x~1", "show=money&after=~"],
)
def test_a_made_up_place_shows_the_first_page(cast: Cast, owner: Client, query: str) -> None:
    job = cast.job_at(Stage.QUOTED)
    assert owner.get(f"/office/?{query}").status_code == 200
    if query.startswith("after"):
        assert job.shown_ref in read(owner, f"/office/?{query}")


def refs_on(page: str) -> list[str]:
    return re.findall(r"\b[0-9A-Z]{4}-[0-9A-Z]{3}\b", page)


def test_every_job_stands_on_exactly_one_page(cast: Cast, owner: Client) -> None:
    for _ in range(30):
        cast.book()
    for _ in range(3):
        cast.job_at(Stage.ARRIVED)
    template = Job.objects.filter(stage=Stage.ARRIVED).first()
    assert template
    for _ in range(40):  # the same second for all of them: the primary key settles the order
        copy = cast.book()
        Job.objects.filter(pk=copy.pk).update(
            stage=Stage.ARRIVED, holder="workshop", holder_since=template.holder_since
        )
    seen: list[str] = []
    path = "/office/"
    while path:
        answer = owner.get(path)
        seen += refs_on(re.sub(r"<[^>]*>", " ", answer.content.decode()))
        more = re.search(r'rel="next" href="\?([^"]+)"', answer.content.decode())
        path = f"/office/?{more[1].replace('&amp;', '&')}" if more else ""
    assert len(seen) == 73
    assert len(set(seen)) == 73


def queries(client: Client, path: str = "/office/") -> int:
    with CaptureQueriesContext(
        connection,
    ) as seen:
        assert client.get(path).status_code == 200
    return len(seen)


def waiting_at_each_stage(cast: Cast) -> None:
    for stage in (Stage.QUOTED, Stage.IN_WORK, Stage.AWAITING_PART, Stage.RETURNED):
        wait(cast.job_at(stage), 3)


@pytest.mark.parametrize(
    "path", ["/office/", "/office/?show=promises", "/office/?show=money", "/office/?find=corvane"]
)
def test_the_number_of_queries_does_not_grow_with_the_jobs(cast: Cast, owner: Client, path: str) -> None:
    made_once(waiting_at_each_stage, cast)
    few = queries(owner, path)
    waiting_at_each_stage(cast)
    assert queries(owner, path) == few


def test_a_technician_reads_kindly_that_the_office_is_the_owners(cast: Cast, as_staff: Visitor) -> None:
    answer = as_staff(cast.technician_user).get("/office/")
    assert answer.status_code == 403
    assert "This page is the owner’s." in answer.content.decode().replace("&#x27;", "’").replace("'", "’")


def test_a_call_is_noted_in_the_journal_and_shown(cast: Cast, owner: Client) -> None:
    job = cast.job_at(Stage.QUOTED)
    owner.post(f"/office/{job.shown_ref}/call/", {"text": "Will answer on Friday."})
    assert Entry.objects.get(kind=Kind.CALLED).by_name == "Hester Quill"
    assert "Will answer on Friday." in read(owner, f"/office/{job.shown_ref}/")


def test_a_call_without_a_word_is_refused_beside_its_field(cast: Cast, owner: Client) -> None:
    job = cast.job_at(Stage.QUOTED)
    answer = owner.post(f"/office/{job.shown_ref}/call/", {"text": "  "})
    assert answer.status_code == 422
    assert "Write down in a few words what was said." in answer.content.decode()


def test_another_address_ends_the_links_that_went_to_the_old_one(
    cast: Cast, owner: Client, as_customer: Visitor
) -> None:
    job = cast.job_at(Stage.QUOTED)
    customer = as_customer(job)
    owner.post(f"/office/{job.shown_ref}/address/", {"email": "new@example.org"})
    job.customer.refresh_from_db()
    assert job.customer.email == "new@example.org"
    assert customer.get(f"/my/{job.shown_ref}/").status_code == 403
    assert job.entries.filter(kind=Kind.LINK_ASKED).exists()


def test_every_link_can_be_closed(cast: Cast, owner: Client, as_customer: Visitor) -> None:
    job = cast.job_at(Stage.QUOTED)
    customer = as_customer(job)
    owner.post(f"/office/{job.shown_ref}/link/", {"close": "1", "back": "job"})
    assert customer.get(f"/my/{job.shown_ref}/").status_code == 403


def test_two_devices_are_told(cast: Cast, owner: Client) -> None:
    from jobs.actions.linking import issue_link

    job = cast.job_at(Stage.QUOTED)
    key = issue_link(job)
    for _ in range(2):
        Client().get(f"/open/{key}")
    assert "on 2 devices" in read(owner, f"/office/{job.shown_ref}/")


def test_letters_that_reach_nobody_are_said_first(owner: Client, settings: Any) -> None:
    settings.LETTERS_STAY_HERE = True
    assert "letters stay on this machine and reach nobody" in read(owner)


def test_with_a_mailbox_nothing_is_said(owner: Client, settings: Any) -> None:
    settings.LETTERS_STAY_HERE = True
    keep_account(host="mail.example.org", port=465, security="tls", from_address="bench@example.org")
    assert "reach nobody" not in read(owner)
