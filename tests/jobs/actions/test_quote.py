from datetime import timedelta

import pytest
import time_machine
from django.utils import timezone

from jobs.actions import quote
from jobs.actions.refusals import Refused
from jobs.canonical import digest
from jobs.evidence import content
from jobs.models import Job, Quote
from jobs.words import Holder, Stage
from tests.cast import Cast
from tests.once import made_once


@pytest.fixture
def job(cast: Cast) -> Job:
    return made_once(cast.job_at, Stage.QUOTED)


def test_a_sent_quote_makes_it_the_customers_move(job: Job) -> None:
    assert (job.stage, job.holder) == (Stage.QUOTED, Holder.CUSTOMER)


def test_what_is_shown_is_frozen_with_its_hash(job: Job) -> None:
    sent = job.quotes.get()
    assert sent.shown_hash == digest(sent.shown)
    assert [line["price"] for line in content(sent)["lines"]] == [8500, 4200, 1200]


def test_the_frozen_quote_names_the_findings_it_answers_and_their_words(job: Job) -> None:
    told = content(job.quotes.get())["lines"][0]["findings"][0]
    assert told["digest"] == [job.findings.get().wordings.get().digest]


def test_the_tax_rule_of_the_day_stays_with_the_quote(cast: Cast, job: Job) -> None:
    cast.workshop.tax_rate_bp = 500
    cast.workshop.save()
    assert job.quotes.get().tax_rate_bp == 2000


def test_a_sent_quote_takes_no_more_lines(job: Job) -> None:
    with pytest.raises(Refused):
        quote.put_line(job.quotes.get(), quote.LineDraft("work", "needed", "More", 100))


def test_a_quote_without_work_or_part_is_not_sent(cast: Cast) -> None:
    draft = quote.draft_quote(cast.job_at(Stage.EXAMINING))
    quote.put_line(draft, quote.LineDraft("carriage", "needed", "Post", 1200))
    with pytest.raises(Refused):
        quote.send_quote(draft, cast.technician)


def test_a_last_day_that_has_passed_is_refused(cast: Cast, job: Job) -> None:
    with pytest.raises(Refused) as refused:
        quote.send_quote(quote.draft_quote(job), cast.technician, timezone.localdate() - timedelta(days=1))
    assert refused.value.field == "valid_until"


def test_a_line_answers_only_findings_of_its_own_job(cast: Cast, job: Job) -> None:
    stranger = cast.post_finding(cast.job_at(Stage.EXAMINING, name="Ivo Harkaway", email="ivo@example.net"))
    with pytest.raises(Refused):
        quote.put_line(
            quote.draft_quote(job), quote.LineDraft("work", "needed", "Free", 1, findings=[stranger])
        )


def test_a_new_quote_starts_as_a_copy_and_replaces_the_old(cast: Cast, job: Job) -> None:
    draft = quote.draft_quote(job)
    assert [line.title for line in draft.lines.all()] == [
        line.title for line in job.quotes.get(n=1).lines.all()
    ]
    quote.send_quote(draft, cast.technician)
    assert [each.state for each in job.quotes.all()] == ["replaced", "open"]


def test_the_draft_being_written_is_found_again(job: Job) -> None:
    assert quote.draft_quote(job) == quote.draft_quote(job)


def test_a_line_of_a_draft_can_be_changed_and_removed(job: Job) -> None:
    draft = quote.draft_quote(job)
    first = draft.lines.first()
    quote.put_line(draft, quote.LineDraft("work", "needed", "Free the gears", 9000), first)
    quote.remove_line(draft.lines.last())
    assert [line.price for line in draft.lines.all()] == [9000, 4200]


def test_a_quote_taken_back_can_no_longer_be_answered(cast: Cast, job: Job) -> None:
    quote.take_back_quote(job, cast.technician)
    assert job.stage == Stage.EXAMINING
    assert job.open_quote is None


def test_a_quote_lapses_only_after_its_last_day(job: Job) -> None:
    sent = job.quotes.get()
    with time_machine.travel(timezone.now() + timedelta(days=28), tick=False):
        assert not quote.lapse(sent)
    with time_machine.travel(timezone.now() + timedelta(days=29), tick=False):
        assert quote.lapse(sent)


def test_a_lapsed_quote_is_offered_again_at_the_same_prices(cast: Cast, job: Job) -> None:
    old = job.quotes.get()
    with time_machine.travel(timezone.now() + timedelta(days=40), tick=False):
        quote.lapse(old)
        again = quote.renew(job, cast.owner)
        assert again.state == Quote.State.OPEN
        assert [line.price for line in again.lines.all()] == [line.price for line in old.lines.all()]


def test_only_a_lapsed_quote_is_renewed(cast: Cast, job: Job) -> None:
    with pytest.raises(Refused):
        quote.renew(job, cast.owner)
