"""How a draft begins after a quote, and what of the workshop's settings it takes."""

import pytest

from jobs.actions import leaving, quote
from jobs.actions.quote import LineDraft
from jobs.actions.refusals import Refused
from jobs.evidence import reckon_answer, sheet
from jobs.models import Job, Quote
from jobs.quoting import Tax
from jobs.words import Stage, TaxMode
from tests.cast import Cast
from tests.jobs.actions.claims import examined, first_cover, judge
from tests.once import made_once


@pytest.fixture
def lapsed(cast: Cast) -> Quote:
    sent = made_once(cast.job_at, Stage.QUOTED).quotes.get()
    Quote.objects.filter(pk=sent.pk).update(valid_until="2020-01-01")
    quote.lapse(sent)
    return sent


def gross(sent: Quote) -> int:
    numbers = sheet(sent)
    return reckon_answer(sent, numbers, numbers.everything).total.gross


def change(cast: Cast, **settings: object) -> None:
    for name, value in settings.items():
        setattr(cast.workshop, name, value)
    cast.workshop.save()


def test_renewed_it_costs_the_same_whatever_the_workshop_has_changed_since(cast: Cast, lapsed: Quote) -> None:
    change(cast, tax_mode=TaxMode.ADDED, tax_rate_bp=2100, tax_name="GST", credits_assessment=True)
    again = quote.renew(lapsed.job, cast.technician)
    assert gross(again) == gross(lapsed)
    assert (again.tax_mode, again.tax_name, again.tax_rate_bp) == ("included", "VAT", 2000)


def test_what_cannot_be_renewed_leaves_no_draft(cast: Cast, lapsed: Quote) -> None:
    leaving.withdraw(lapsed.job, cast.technician)
    with pytest.raises(Refused):
        quote.renew(lapsed.job, cast.technician)
    assert not lapsed.job.quotes.filter(state=Quote.State.DRAFT).exists()


def test_a_draft_keeps_its_tax_when_the_workshop_changes_its_own(cast: Cast) -> None:
    draft = quote.draft_quote(cast.job_at(Stage.EXAMINING))
    quote.put_line(draft, LineDraft("work", "needed", "Free the gears", 5000))
    change(cast, tax_mode=TaxMode.ADDED, tax_rate_bp=2100)
    same = quote.draft_quote(draft.job)
    quote.put_line(same, LineDraft("work", "needed", "Set the times", 5000))
    assert gross(quote.send_quote(same, cast.technician)) == 10000
    assert set(same.lines.values_list("tax_rate_bp", flat=True)) == {2000}


def test_a_new_quote_has_the_rate_of_today_and_keeps_rates_of_their_own(cast: Cast) -> None:
    draft = quote.draft_quote(cast.job_at(Stage.EXAMINING))
    quote.put_line(draft, LineDraft("work", "needed", "Free the gears", 5000))
    quote.put_line(draft, LineDraft("part", "optional", "A manual", 900, tax=Tax("S", 500)))
    sent = quote.send_quote(draft, cast.technician)
    change(cast, tax_rate_bp=2100)
    new = quote.draft_quote(sent.job)
    assert (new.tax_rate_bp, [line.tax_rate_bp for line in new.lines.all()]) == (2100, [2100, 500])


def test_after_a_supplementary_quote_was_declined_the_next_adds_to_what_stands(cast: Cast) -> None:
    job: Job = cast.job_at(Stage.IN_WORK)
    for said, stands in (([], 1), (None, 3), ([], 3)):
        draft = quote.draft_quote(job)
        quote.put_line(draft, LineDraft("work", "needed", "Seal the curtain", 2800))
        cast.agree(quote.send_quote(draft, cast.technician), said)
        following = quote.draft_quote(job)
        assert following.adds_to is not None
        assert following.adds_to.n == stands
        quote.drop_draft(following)


def test_nothing_can_be_added_to_what_is_done_at_no_charge(cast: Cast) -> None:
    claim = examined(cast, home := cast.home())
    quote.draft_quote(claim)
    judge(cast, claim, cover=first_cover(home))
    with pytest.raises(Refused, match="at no charge"):
        quote.draft_quote(claim)
