"""The work shows it: what comes out of a try, and what follows within what was agreed."""

import pytest

from jobs.accounts import account
from jobs.actions import quote, trying, working
from jobs.actions.refusals import Refused
from jobs.models import Job, Line, Quote
from jobs.words import Holder, Stage
from tests.cast import Cast


def send_try(cast: Cast, **more: object) -> Quote:
    """A haze to try at 38, with a lens group for 78 if it stays; and insured post for 12."""
    job = cast.job_at(Stage.EXAMINING)
    draft = quote.draft_quote(job)
    group = quote.LineDraft("part", "needed", "Fit a sound lens group", 7800)
    leave = quote.LineDraft("work", "needed", "Leave it as it is", 0)
    outcomes = (
        quote.OutcomeDraft("It wipes off", 14, "lens/haze-inside:clears"),
        quote.OutcomeDraft(
            "The glass has gone", 6, "lens/haze-inside:stays", follow_ons=(group, leave), **more
        ),  # type: ignore[arg-type]
    )
    quote.put_line(draft, quote.LineDraft("work", "needed", "Clean the haze", 3800, outcomes=outcomes))
    quote.put_line(draft, quote.LineDraft("carriage", "needed", "Insured post home", 1200))
    return quote.send_quote(draft, cast.technician)


def parts(sent: Quote) -> tuple[Line, Line]:
    """The try, and the lens group that may follow."""
    return sent.lines.get(title="Clean the haze"), sent.lines.get(title="Fit a sound lens group")


def in_work(cast: Cast, sent: Quote, branch: bool, ceiling: int | None = None) -> Line:
    line, group = parts(sent)
    cast.agree(sent, [line.pk, *([group.pk] if branch else [])], ceiling=ceiling)
    working.start_work(sent.job, cast.technician)
    return line


def come_out(cast: Cast, line: Line, words: str) -> object:
    return trying.note_outcome(line, line.outcomes.get(title=words), cast.technician)


def test_the_branch_that_was_agreed_goes_on_and_is_owed(cast: Cast) -> None:
    sent = send_try(cast)
    line = in_work(cast, sent, branch=True)
    assert come_out(cast, line, "The glass has gone").then == "goes_on"  # type: ignore[attr-defined]
    assert account(sent.job).agreed == 3800 + 7800 + 1200


def test_when_it_turns_out_well_nothing_more_is_owed(cast: Cast) -> None:
    sent = send_try(cast)
    line = in_work(cast, sent, branch=True)
    assert come_out(cast, line, "It wipes off").then == "nothing"  # type: ignore[attr-defined]
    assert account(sent.job).agreed == 3800 + 1200


def test_a_branch_that_was_not_agreed_stops_the_work_and_asks(cast: Cast) -> None:
    sent = send_try(cast)
    line = in_work(cast, sent, branch=False)
    assert come_out(cast, line, "The glass has gone").then == "asks"  # type: ignore[attr-defined]
    assert account(sent.job).agreed == 3800 + 1200


def test_an_agreed_branch_that_would_pass_the_ceiling_stops_and_asks(cast: Cast) -> None:
    sent = send_try(cast)
    line = in_work(cast, sent, branch=True, ceiling=12799)
    tried = come_out(cast, line, "The glass has gone")
    assert (tried.then, tried.over_ceiling) == ("asks", True)  # type: ignore[attr-defined]
    assert account(sent.job).agreed == 3800 + 1200


def test_at_the_ceiling_itself_it_goes_on(cast: Cast) -> None:
    sent = send_try(cast)
    line = in_work(cast, sent, branch=True, ceiling=12800)
    assert come_out(cast, line, "The glass has gone").then == "goes_on"  # type: ignore[attr-defined]


def test_an_outcome_at_which_we_stop_ends_it_there(cast: Cast) -> None:
    sent = send_try(cast, stops=True)
    line = in_work(cast, sent, branch=True)
    assert come_out(cast, line, "The glass has gone").then == "ends"  # type: ignore[attr-defined]
    assert account(sent.job).agreed == 3800 + 1200


def test_it_is_tried_once(cast: Cast) -> None:
    line = in_work(cast, send_try(cast), branch=True)
    come_out(cast, line, "It wipes off")
    with pytest.raises(Refused, match="noted already"):
        come_out(cast, line, "The glass has gone")


def test_an_outcome_of_another_line_is_refused(cast: Cast) -> None:
    line = in_work(cast, send_try(cast), branch=True)
    job = cast.another_book()
    other = quote.draft_quote(cast.job_at(Stage.EXAMINING, job))
    ways = (quote.OutcomeDraft("It holds"), quote.OutcomeDraft("It breaks"))
    row = quote.put_line(other, quote.LineDraft("work", "needed", "Bend it back", 1000, outcomes=ways))
    with pytest.raises(Refused, match="another line"):
        trying.note_outcome(line, row.outcomes.first(), cast.technician)  # type: ignore[arg-type]


def test_a_line_that_was_not_agreed_is_not_tried(cast: Cast) -> None:
    job = cast.job_at(Stage.EXAMINING)
    draft = quote.draft_quote(job)
    ways = (quote.OutcomeDraft("It holds"), quote.OutcomeDraft("It breaks"))
    row = quote.put_line(draft, quote.LineDraft("work", "optional", "Bend it back", 1000, outcomes=ways))
    other = quote.put_line(draft, quote.LineDraft("work", "needed", "Free the gears", 8500))
    cast.agree(quote.send_quote(draft, cast.technician), [other.pk])
    working.start_work(Job.objects.get(), cast.technician)
    with pytest.raises(Refused, match="not agreed"):
        come_out(cast, row, "It holds")


def test_what_was_noted_by_mistake_is_taken_back_and_noted_again(cast: Cast) -> None:
    sent = send_try(cast)
    line = in_work(cast, sent, branch=True)
    come_out(cast, line, "The glass has gone")
    assert account(sent.job).agreed == 3800 + 7800 + 1200
    trying.undo_outcome(line, "Pressed the wrong one", cast.technician)
    assert account(sent.job).agreed == 3800 + 1200
    assert trying.waiting_tries(sent.job) == [line]
    come_out(cast, line, "It wipes off")
    assert account(sent.job).agreed == 3800 + 1200
    kinds = list(sent.job.entries.order_by("seq").values_list("kind", flat=True))[-3:]
    assert kinds == ["tried", "try_undone", "tried"]


def test_it_is_taken_back_with_a_reason_and_once(cast: Cast) -> None:
    line = in_work(cast, send_try(cast), branch=True)
    come_out(cast, line, "It wipes off")
    with pytest.raises(Refused, match="wrong with it"):
        trying.undo_outcome(line, " ", cast.technician)
    trying.undo_outcome(line, "Wrong camera", cast.technician)
    with pytest.raises(Refused, match="Nothing is noted"):
        trying.undo_outcome(line, "Wrong camera", cast.technician)


def test_nothing_is_tried_before_the_work_has_begun(cast: Cast) -> None:
    sent = send_try(cast)
    line, _group = parts(sent)
    cast.agree(sent, [line.pk])
    with pytest.raises(Refused, match="Agreed"):
        come_out(cast, line, "It wipes off")


def test_tries_that_wait_for_their_outcome_are_listed_until_it_is_noted(cast: Cast) -> None:
    line = in_work(cast, send_try(cast), branch=True)
    assert trying.waiting_tries(line.quote.job) == [line]
    come_out(cast, line, "It wipes off")
    assert trying.waiting_tries(line.quote.job) == []


def test_a_branch_that_came_about_is_covered_by_the_warranty_and_one_that_did_not_is_not(cast: Cast) -> None:
    sent = send_try(cast)
    line = in_work(cast, sent, branch=True)
    come_out(cast, line, "It wipes off")
    job = cast.home(cast.finish(sent.job))
    assert [cover.what for cover in job.warranty.covers.filter(until__isnull=False)] == ["Clean the haze"]


def test_a_try_at_which_we_stopped_is_named_as_not_covered(cast: Cast) -> None:
    sent = send_try(cast, stops=True)
    line = in_work(cast, sent, branch=False)
    come_out(cast, line, "The glass has gone")
    job = cast.home(cast.finish(sent.job))
    cover = job.warranty.covers.get(what="Clean the haze")
    assert (cover.until, cover.why_not) == (None, "We tried it, and it could not be done.")


# --- what an "up to" line came to -----------------------------------------------------------------------------------


def up_to(cast: Cast) -> Line:
    draft = quote.draft_quote(cast.job_at(Stage.EXAMINING))
    said = quote.LineDraft("work", "needed", "Set the slow times", 6000, up_to=True, least=4000)
    line = quote.put_line(draft, said)
    cast.agree(quote.send_quote(draft, cast.technician), [line.pk])
    return line


def test_a_final_price_within_what_was_agreed_is_what_is_owed(cast: Cast) -> None:
    line = up_to(cast)
    trying.note_final_price(line, 4500, cast.technician)
    assert account(line.quote.job).agreed == 4500


def test_it_can_be_noted_again_and_the_last_one_stands(cast: Cast) -> None:
    line = up_to(cast)
    trying.note_final_price(line, 4500, cast.technician)
    trying.note_final_price(line, 5000, cast.technician)
    assert account(line.quote.job).agreed == 5000


@pytest.mark.parametrize("price", [3999, 6001, -1, 10**9])
def test_neither_more_nor_less_than_was_agreed_is_taken(cast: Cast, price: int) -> None:
    line = up_to(cast)
    with pytest.raises(Refused, match="£40 to £60") as refused:
        trying.note_final_price(line, price, cast.technician)
    assert refused.value.field == "price"
    assert account(line.quote.job).agreed == 6000


def test_a_fixed_price_stays_what_it_is(cast: Cast) -> None:
    sent = send_try(cast)
    line = in_work(cast, sent, branch=False)
    with pytest.raises(Refused, match="fixed"):
        trying.note_final_price(line, 3000, cast.technician)


@pytest.mark.parametrize(("paid", "before"), [(5000, Holder.CUSTOMER), (8500, Holder.WORKSHOP)])
def test_a_final_price_makes_it_the_move_of_whoever_is_next(cast: Cast, paid: int, before: Holder) -> None:
    """Ready for the post: at 50 all is paid by whoever paid 50; who paid 85 has paid all along."""
    job = cast.job_at(Stage.EXAMINING)
    draft = quote.draft_quote(job)
    quote.put_line(draft, quote.LineDraft("work", "needed", "Free the gears", 8500, up_to=True))
    cast.agree(quote.send_quote(draft, cast.technician))
    cast.pay(job, paid)
    working.start_work(job, cast.technician)
    working.start_proving(job, cast.technician)
    working.prove(job, [working.Tested("transport", True)], cast.technician)
    assert Job.objects.get(pk=job.pk).holder == before
    trying.note_final_price(job.quotes.get().lines.get(), 5000, cast.technician)
    assert Job.objects.get(pk=job.pk).holder == Holder.WORKSHOP
    trying.note_final_price(job.quotes.get().lines.get(), 8500, cast.technician)
    assert Job.objects.get(pk=job.pk).holder == before


def send_two_open_prices(cast: Cast) -> Quote:
    """The times up to 60, at least 25; the focus up to 60, at least 25; and a try at 10 with a spring for 20 if it is worn."""
    draft = quote.draft_quote(cast.job_at(Stage.EXAMINING))
    for title in ("Set the times", "Set the focus"):
        quote.put_line(draft, quote.LineDraft("work", "needed", title, 6000, up_to=True, least=2500))
    spring = quote.LineDraft("part", "needed", "A new spring", 2000)
    ways = (quote.OutcomeDraft("It holds"), quote.OutcomeDraft("It is worn", follow_ons=(spring,)))
    quote.put_line(draft, quote.LineDraft("work", "needed", "Look at the spring", 1000, outcomes=ways))
    return quote.send_quote(draft, cast.technician)


def test_a_final_price_never_passes_their_ceiling(cast: Cast) -> None:
    """100 is theirs: with the focus at its least the times may take 60, and then the focus 30 and no more."""
    sent = send_two_open_prices(cast)
    times, focus, _try = sent.lines.asked()
    cast.agree(sent, ceiling=10000)
    trying.note_final_price(times, 6000, cast.technician)
    with pytest.raises(Refused, match=r"past their ceiling of £100\. Ask them first\."):
        trying.note_final_price(focus, 3100, cast.technician)
    trying.note_final_price(focus, 3000, cast.technician)
    assert account(sent.job).agreed == 10000


def test_nor_when_it_is_corrected_after_a_branch_came_about_within_it(cast: Cast) -> None:
    sent = send_two_open_prices(cast)
    times, focus, spring = sent.lines.asked()
    worn = spring.outcomes.get(title="It is worn")
    cast.agree(sent, [times.pk, focus.pk, spring.pk, worn.follow_ons.get().pk], ceiling=10000)
    working.start_work(sent.job, cast.technician)
    for line in (times, focus):
        trying.note_final_price(line, 2500, cast.technician)
    assert trying.note_outcome(spring, worn, cast.technician).then == "goes_on"
    with pytest.raises(Refused, match="past their ceiling"):
        trying.note_final_price(times, 6000, cast.technician)
    trying.note_final_price(times, 4500, cast.technician)
    assert account(sent.job).agreed == 10000
