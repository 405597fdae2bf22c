"""Jobs that the first version wrote, on every page of this one: nothing breaks, and nothing is asked for twice."""

import io

import pytest
from django.urls import reverse

from jobs import exporting, verifying
from jobs.accounts import account, accounts
from jobs.actions import quote, working
from jobs.actions.papering import answer_paper
from jobs.models import Decision, Job, Quote
from jobs.words import Stage
from notifications import relay
from notifications.models import Letter
from tests.before import the_first_version
from tests.once import made_once
from tests.portal.customer.pages import answer_typed, to, words_of

THEIRS = [
    "my",
    "my_news",
    "my_quote",
    "my_quote_pdf",
    "my_questions",
    "my_warranty",
    "my_warranty_pdf",
    "my_settings",
    "my_leave",
]
OURS = [
    *("bench_job", "bench_quote", "bench_answer_pdf", "bench_call", "bench_payments", "bench_send_back"),
    *("bench_proving", "bench_withdraw", "office_job", "office_evidence"),
]


def lapsed(cast):
    job = cast.job_at(Stage.QUOTED)
    Quote.objects.filter(job=job).update(valid_until="2020-01-01")
    quote.lapse(job.quotes.get())
    return job


def left_unpaid(cast):
    """Home, and whatever was paid stands in another book."""
    job = cast.job_at(Stage.READY)
    working.send_back(job, cast.technician)
    working.deliver(job, cast.technician)
    return job


STAGES = {stage: lambda cast, stage=stage: cast.job_at(stage) for stage in Stage}
ROADS = STAGES | {"lapsed": lapsed, "home": left_unpaid}


def gone_then(cast, road):
    with the_first_version():
        made = ROADS[road](cast)
    return Job.objects.get(pk=made.pk)


@pytest.fixture(params=ROADS)
def job(request, cast):
    return made_once(gone_then, cast, request.param)


def read(response):
    return b"".join(response) if response.streaming else response.content


def test_every_page_still_opens(job, cast, as_customer, client):
    visitor = as_customer(job)
    client.force_login(cast.owner_user)
    for who, names in ((visitor, THEIRS), (client, OURS)):
        for name in names:
            response = who.get(reverse(name, args=[job.shown_ref]))
            assert response.status_code in (200, 302, 303, 404), name
            read(response)
    for name in ("bench", "office"):
        assert client.get(reverse(name)).status_code == 200


def test_its_evidence_is_whole_and_can_be_taken_along(job):
    for decision in Decision.objects.filter(quote__job=job):
        assert bytes(answer_paper(decision).body).startswith(b"%PDF")
    assert verifying.verify(Job.objects.get(pk=job.pk)) is None
    exporting.export(job, io.BytesIO())


def test_its_letters_can_still_be_written(job):
    relay.run()
    relay.run()  # the copies that the first look made have entries too
    assert Letter.objects.filter(job=job, kind="booked").exists()
    assert not relay.unread().exists()


def test_who_has_their_camera_back_is_not_asked_to_pay_for_it_again(cast, as_customer):
    with the_first_version():
        job = left_unpaid(cast)
    assert (account(job).due, accounts([job])[job.pk].due) == (0, 0)
    assert "to be paid" not in words_of(as_customer(job).get(to("my", job)).text)


def test_a_quote_that_was_open_on_the_day_can_be_answered(cast, as_customer):
    with the_first_version():
        job = cast.job_at(Stage.QUOTED)
    as_customer(job).post(to("my_quote", job), answer_typed(job.quotes.get()))
    assert job.quotes.get().decision.gross == 9700
    assert verifying.verify(Job.objects.get(pk=job.pk)) is None


def test_a_new_quote_that_replaces_it_says_what_changed(cast, as_customer):
    with the_first_version():
        job = cast.job_at(Stage.QUOTED)
    old = job.quotes.get()
    draft = quote.draft_quote(job)
    draft.lines.filter(price=4200).update(price=4700)
    quote.send_quote(draft, cast.technician)
    response = as_customer(job).post(to("my_quote", job), answer_typed(old))
    assert response.status_code == 409
    assert "now £47. It was £42." in words_of(response.text)


def test_one_thing_more_can_be_added_to_what_was_agreed(cast, as_customer):
    with the_first_version():
        job = cast.job_at(Stage.IN_WORK)
    draft = quote.draft_quote(job)
    quote.put_line(draft, quote.LineDraft("work", "needed", "Seal the curtain", 2800))
    sent = quote.send_quote(draft, cast.technician)
    as_customer(job).post(to("my_quote", job), answer_typed(sent))
    assert account(job).agreed == 9700 + 2800
