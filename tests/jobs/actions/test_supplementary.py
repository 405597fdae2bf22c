"""The work shows more: what is agreed goes on, only the new waits."""

import pytest

from jobs.accounts import account
from jobs.actions import quote, working
from jobs.actions.refusals import Refused
from jobs.models import Job, Quote
from jobs.words import Holder, Stage
from tests.cast import Cast
from tests.once import made_once


@pytest.fixture
def job(cast: Cast) -> Job:
    return made_once(cast.job_at, Stage.IN_WORK)


def one_thing_more(cast: Cast, job: Job, work_waits: bool = False) -> Quote:
    draft = quote.draft_quote(job)
    quote.put_line(draft, quote.LineDraft("work", "needed", "Seal the curtain", 2800))
    return quote.send_quote(draft, cast.technician, sending=quote.Sending(work_waits=work_waits))


def test_it_starts_empty_and_adds_to_what_was_agreed(job: Job) -> None:
    draft = quote.draft_quote(job)
    assert (draft.n, draft.adds_to, draft.lines.count()) == (2, job.quotes.get(n=1), 0)


def test_the_work_goes_on_while_it_waits(cast: Cast, job: Job) -> None:
    one_thing_more(cast, job)
    job.refresh_from_db()
    assert (job.stage, job.holder) == (Stage.IN_WORK, Holder.WORKSHOP)


def test_unless_it_cannot_go_on_without_the_answer(cast: Cast, job: Job) -> None:
    sent = one_thing_more(cast, job, work_waits=True)
    job.refresh_from_db()
    assert (job.stage, job.holder) == (Stage.IN_WORK, Holder.CUSTOMER)
    cast.agree(sent)
    job.refresh_from_db()
    assert (job.stage, job.holder) == (Stage.IN_WORK, Holder.WORKSHOP)


def test_agreed_it_is_added_to_what_is_owed(cast: Cast, job: Job) -> None:
    cast.agree(one_thing_more(cast, job))
    assert account(job).agreed == 9700 + 2800


def test_declined_it_costs_nothing_and_the_first_answer_stands(cast: Cast, job: Job) -> None:
    decision = cast.agree(one_thing_more(cast, job), [])
    job.refresh_from_db()
    assert (decision.gross, account(job).agreed, job.stage) == (0, 9700, Stage.IN_WORK)


def test_not_even_what_would_come_with_it_is_owed_when_it_is_declined(cast: Cast, job: Job) -> None:
    draft = quote.draft_quote(job)
    quote.put_line(draft, quote.LineDraft("work", "needed", "Seal the curtain", 2800))
    quote.put_line(draft, quote.LineDraft("carriage", "needed", "A part by courier", 900))
    decision = cast.agree(quote.send_quote(draft, cast.technician), [])
    assert (decision.gross, account(job).agreed) == (0, 9700)
    assert not decision.choices.filter(yes=True).exists()


def test_a_new_one_replaces_it_and_still_adds_to_the_first(cast: Cast, job: Job) -> None:
    first = one_thing_more(cast, job)
    draft = quote.draft_quote(job)
    second = quote.send_quote(draft, cast.technician)
    first.refresh_from_db()
    assert (first.state, second.replaces, second.adds_to) == ("replaced", first, job.quotes.get(n=1))
    assert [line.title for line in second.lines.all()] == ["Seal the curtain"]


def test_taken_back_the_work_goes_on(cast: Cast, job: Job) -> None:
    one_thing_more(cast, job, work_waits=True)
    quote.take_back_quote(job, cast.technician)
    job.refresh_from_db()
    assert (job.stage, job.holder, job.quotes.open().count()) == (Stage.IN_WORK, Holder.WORKSHOP, 0)


def test_it_lapses_and_is_renewed_like_any_other(cast: Cast, job: Job) -> None:
    sent = one_thing_more(cast, job, work_waits=True)
    Quote.objects.filter(pk=sent.pk).update(valid_until="2020-01-01")
    assert quote.lapse(sent)
    job.refresh_from_db()
    assert job.holder == Holder.WORKSHOP
    again = quote.renew(job, cast.technician)
    job.refresh_from_db()
    assert (again.adds_to, again.work_waits, job.holder) == (sent.adds_to, True, Holder.CUSTOMER)


def test_its_work_is_covered_like_the_rest(cast: Cast, job: Job) -> None:
    cast.agree(one_thing_more(cast, job))
    home = cast.home(cast.finish(job))
    covered = home.warranty.covers.filter(until__isnull=False).values_list("what", flat=True)
    assert list(covered) == ["Free the winding gears", "Seal the curtain"]


def test_a_draft_that_was_to_replace_a_quote_gives_way_once_that_is_agreed(cast: Cast) -> None:
    job = cast.job_at(Stage.QUOTED)
    stale = quote.draft_quote(job)
    cast.agree(job.quotes.open().get())
    draft = quote.draft_quote(job)
    assert draft.is_supplementary
    assert not Quote.objects.filter(pk=stale.pk).exists()


def test_a_stale_draft_cannot_be_sent_over_an_agreement(cast: Cast) -> None:
    job = cast.job_at(Stage.QUOTED)
    stale = quote.draft_quote(job)
    cast.agree(job.quotes.open().get())
    with pytest.raises(Refused):
        quote.send_quote(stale, cast.technician)


def test_once_the_work_is_done_there_is_nothing_to_add(cast: Cast, job: Job) -> None:
    working.start_proving(job, cast.technician)
    cast.finish(job)
    with pytest.raises(Refused):
        quote.draft_quote(job)


def test_its_deposit_is_waited_for_before_the_work_begins(cast: Cast) -> None:
    job = cast.job_at(Stage.AGREED)
    draft = quote.draft_quote(job)
    quote.put_line(draft, quote.LineDraft("work", "needed", "Seal the curtain", 2800))
    cast.agree(quote.send_quote(draft, cast.technician, sending=quote.Sending(deposit=1000)))
    job.refresh_from_db()
    assert (account(job).deposit_due, job.holder, job.waits_for_money) == (1000, Holder.CUSTOMER, True)


def test_declined_by_telephone_a_ceiling_said_before_is_in_nobodys_way(cast: Cast, job: Job) -> None:
    draft = quote.draft_quote(job)
    quote.put_line(draft, quote.LineDraft("work", "needed", "Seal the curtain", 2800, up_to=True))
    quote.put_line(draft, quote.LineDraft("carriage", "needed", "A part by courier", 900))
    assert cast.agree(quote.send_quote(draft, cast.technician), [], ceiling=500).gross == 0


def test_it_is_not_ready_while_one_waits_for_its_answer(cast: Cast, job: Job) -> None:
    """Agreed once the work is over, it would be owed and covered, and nobody would have done it."""
    sent = one_thing_more(cast, job)
    working.start_proving(job, cast.technician)
    good = [working.Tested("transport", True)]
    with pytest.raises(Refused, match="still waits for its answer"):
        working.prove(job, good, cast.technician)
    assert (Job.objects.get(pk=job.pk).stage, job.proofs.count()) == (Stage.PROVING, 0)
    cast.agree(sent, [])
    assert working.prove(job, good, cast.technician)


def test_where_the_work_waits_for_it_a_part_that_came_changes_nothing(cast: Cast) -> None:
    job = cast.job_at(Stage.AWAITING_PART)
    one_thing_more(cast, job, work_waits=True)
    working.part_came(job, cast.technician)
    job.refresh_from_db()
    assert (job.stage, job.holder) == (Stage.AGREED, Holder.CUSTOMER)
