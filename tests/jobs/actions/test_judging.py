"""The workshop decides a claim, once, and says why."""

import pytest

from jobs.actions import deciding, quote, working
from jobs.actions.refusals import Refused
from jobs.models import Entry, Job, Judged
from jobs.timeline import told
from jobs.words import Stage
from tests.cast import Cast
from tests.jobs.actions.claims import claimed, first_cover, judge
from tests.once import made_once

REASON = "The rim is bent: it has had a knock."


@pytest.fixture
def claim(cast: Cast) -> Job:
    return made_once(claimed, cast)


@pytest.fixture
def job(claim: Job) -> Job:
    assert claim.claim_on
    return claim.claim_on


def kinds(claim: Job) -> list[str]:
    return list(claim.entries.order_by("seq").values_list("kind", flat=True))


def lines(claim: Job) -> list[str]:
    return [line.words for entry in claim.entries.order_by("seq") if (line := told(entry))]


def test_a_covered_claim_is_agreed_at_no_charge(cast: Cast, job: Job, claim: Job) -> None:
    judge(cast, claim, cover=first_cover(job))
    assert claim.stage == Stage.AGREED
    assert kinds(claim)[-2:] == ["claim_judged", "claim_accepted"]
    assert not claim.quotes.exists()


def test_nobody_is_told_that_they_agreed_to_what_is_done_at_no_charge(
    cast: Cast, job: Job, claim: Job
) -> None:
    judge(cast, claim, cover=first_cover(job))
    assert claim.next_words == "We do it at no charge. It waits for its turn on the bench."


def test_what_was_quoted_after_all_was_agreed(cast: Cast, claim: Job) -> None:
    judge(cast, claim, "not_covered", "other", None, REASON)
    cast.agree(cast.send_quote(claim))
    claim.refresh_from_db()
    assert claim.next_words.startswith("You have agreed the work.")


def test_goodwill_is_done_at_no_charge_and_says_that_it_was_not_owed(cast: Cast, claim: Job) -> None:
    judge(cast, claim, "goodwill", "other", None, REASON)
    assert claim.stage == Stage.AGREED
    assert lines(claim)[-1] == (
        f"We looked. The warranty does not cover it, and we do it at no charge all the same. {REASON}"
    )


def test_what_is_not_covered_stays_in_the_examination_so_that_a_quote_can_be_written(
    cast: Cast, claim: Job
) -> None:
    judge(cast, claim, "not_covered", "other", None, REASON)
    assert claim.stage == Stage.EXAMINING
    assert kinds(claim)[-1] == "claim_judged"
    sent = cast.send_quote(claim)
    assert isinstance(cast.agree(sent), deciding.Decision)


def test_the_customer_reads_one_line_about_it_with_the_reason(cast: Cast, claim: Job) -> None:
    before = len(lines(claim))
    judge(cast, claim, "not_covered", "other", None, REASON)
    assert lines(claim)[before:] == [f"We looked. The warranty does not cover it: {REASON}"]


def test_nothing_wrong_is_said_as_that_and_can_go_home_without_work(cast: Cast, claim: Job) -> None:
    judge(cast, claim, "not_covered", "nothing", None, "It ran through 36 frames without a fault")
    assert lines(claim)[-1] == "We looked, and found nothing wrong: It ran through 36 frames without a fault."
    claim.story_answer = "It is well."
    claim.save(update_fields=["story_answer"])
    working.nothing_to_mend(claim, cast.technician)
    assert claim.stage == Stage.READY


def test_the_row_keeps_what_was_decided_by_whom_and_about_which_cover(
    cast: Cast, job: Job, claim: Job
) -> None:
    judge(cast, claim, cover=first_cover(job), because=f"  {REASON} ")
    row = Judged.objects.get()
    assert (row.job, row.judgement, row.again, row.cover) == (claim, "covered", "same", first_cover(job))
    assert (row.because, row.by) == (REASON, cast.technician.name)


def test_a_claim_is_decided_once(cast: Cast, claim: Job) -> None:
    judge(cast, claim, "not_covered", "other", None, REASON)
    with pytest.raises(Refused, match="decided already"):
        judge(cast, claim, "goodwill", "other", None, REASON)
    assert Judged.objects.get().judgement == "not_covered"


def test_only_a_claim_is_decided(cast: Cast) -> None:
    with pytest.raises(Refused, match="not a warranty claim"):
        judge(cast, cast.job_at(Stage.EXAMINING), "goodwill", "other")


def test_a_claim_is_decided_while_it_is_examined(cast: Cast, claim: Job) -> None:
    _send_a_quote(cast, claim)
    with pytest.raises(Refused):
        judge(cast, claim, "goodwill", "other")


def _send_a_quote(cast: Cast, job: Job) -> None:
    draft = quote.draft_quote(job)
    quote.put_line(draft, quote.LineDraft("work", "needed", "Straighten the rim", 4000))
    quote.send_quote(draft, cast.technician)


@pytest.mark.parametrize(
    ("judgement", "again", "because", "field"),
    [
        ("covered", "other", "", "cover"),
        ("goodwill", "same", REASON, "cover"),
        ("goodwill", "other", "  ", "because"),
        ("not_covered", "other", "", "because"),
        ("not_covered", "other", "x" * 601, "because"),
    ],
)
def test_what_is_missing_is_said_beside_its_field_and_nothing_changes(
    cast: Cast, claim: Job, judgement: str, again: str, because: str, field: str
) -> None:
    before = Entry.objects.count()
    with pytest.raises(Refused) as refused:
        judge(cast, claim, judgement, again, None, because)
    assert refused.value.field == field
    assert (Entry.objects.count(), Judged.objects.count(), claim.stage) == (before, 0, Stage.EXAMINING)


def test_a_cover_of_another_warranty_is_refused(cast: Cast, claim: Job) -> None:
    elsewhere = first_cover(cast.home(cast.job_at(Stage.RETURNED, cast.another_book())))
    with pytest.raises(Refused) as refused:
        judge(cast, claim, cover=elsewhere)
    assert refused.value.field == "cover"
    assert not Judged.objects.exists()


def test_what_was_named_as_not_covered_is_not_covered_after_all(cast: Cast, job: Job, claim: Job) -> None:
    named = job.warranty.covers.create(what="Bumps in the covering", mechanism="covering", why_not="Left.")
    with pytest.raises(Refused, match="named as not covered"):
        judge(cast, claim, cover=named)
    judge(cast, claim, "goodwill", "other", named)
    assert claim.stage == Stage.AGREED
