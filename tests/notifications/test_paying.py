"""Letters about money: what is due and how to pay it, receipts, corrections, and what came out of a try."""

import re
from typing import Any

import pytest

from jobs.actions import leaving, paying, quote, trying, working
from jobs.models import Job, Workshop
from jobs.words import Stage
from notifications import deliver
from notifications.models import Letter
from tests.cast import Cast
from tests.notifications.scenes import letter_of, run, told_of
from tests.once import made_once

ACCOUNT = {
    "account_holder": "Tidewater Camera Works",
    "iban": "BE49999000000171",
    "bic": "SLTMBEBBXXX",
    "account_words": "Cash or card at the counter, or a transfer.",
}


def words(letter: Letter) -> str:
    """The plain text in one line; the HTML has to say the same."""
    return re.sub(r"\s+", " ", letter.text)


def html_words(letter: Letter) -> str:
    return re.sub(r"\s+", " ", re.sub(r"<[^>]*>", " ", letter.html))


def agreed(cast: Cast, yes: list[int] | None = None, **sending: Any) -> Job:
    job = cast.job_at(Stage.EXAMINING)
    cast.agree(cast.send_quote(job, sending=quote.Sending(**sending)), yes)
    job.refresh_from_db()
    return job


def one_thing_more(cast: Cast, job: Job, yes: bool) -> None:
    draft = quote.draft_quote(job)
    line = quote.put_line(draft, quote.LineDraft("work", "needed", "Fit a sound rear group", 7800))
    cast.agree(quote.send_quote(draft, cast.technician), [line.pk] if yes else [])


def with_a_try(cast: Cast, branch: bool, ceiling: int | None = None) -> Any:
    """A haze to try at £38, a lens group at £78 if it stays; the work has begun."""
    job = cast.job_at(Stage.EXAMINING)
    draft = quote.draft_quote(job)
    group = quote.LineDraft("part", "needed", "Fit a sound lens group", 7800)
    ways = (
        quote.OutcomeDraft("It wipes off", 14),
        quote.OutcomeDraft("The glass has gone", 6, follow_ons=(group,)),
    )
    line = quote.put_line(draft, quote.LineDraft("work", "needed", "Clean the haze", 3800, outcomes=ways))
    sent = quote.send_quote(draft, cast.technician)
    follows = sent.lines.get(title="Fit a sound lens group").pk
    cast.agree(sent, [line.pk, *([follows] if branch else [])], ceiling=ceiling)
    working.start_work(sent.job, cast.technician)
    run()
    return line


def come_out(cast: Cast, line: Any, title: str) -> Letter:
    trying.note_outcome(line, line.outcomes.get(title=title), cast.technician)
    run()
    return letter_of(line.quote.job, "tried")


# --- ready ----------------------------------------------------------------------------------------------------------


def test_ready_by_post_and_unpaid_the_letter_says_the_sum_and_how_to_pay(cast: Cast) -> None:
    Workshop.objects.update(**ACCOUNT)
    job = cast.job_at(Stage.READY)
    run()
    letter = letter_of(job, "ready")
    for said in (words(letter), html_words(letter)):
        assert "Once it is paid, we send it home to you." in said
        assert "How to pay £97" in said
        for told in ("BE49 9990 0000 0171", "SLTMBEBBXXX", "Tidewater Camera Works", "Cash or card"):
            assert told in said
        assert re.search(r"Reference:? RF\d\d", said)
        assert "Next we pack it" not in said


def test_ready_and_paid_before_it_is_packed_next(cast: Cast) -> None:
    job = made_once(told_of, cast, Stage.PROVING)
    cast.pay(job, 9700)
    working.prove(job, [working.Tested("transport", True)], cast.technician)
    run()
    said = words(letter_of(job, "ready"))
    assert "Next we pack it and send it home to you." in said
    assert "How to pay" not in said


def test_a_part_that_was_paid_is_taken_off(cast: Cast) -> None:
    job = made_once(told_of, cast, Stage.PROVING)
    cast.pay(job, 3000, kind="deposit")
    working.prove(job, [working.Tested("transport", True)], cast.technician)
    run()
    assert "comes to £97. We have £30 of it from you; £67 is to be paid." in words(letter_of(job, "ready"))


def test_what_is_collected_is_paid_then_or_before(cast: Cast) -> None:
    job = cast.job_at(Stage.READY, return_by="collect")
    run()
    said = words(letter_of(job, "ready"))
    assert "is ready to collect" in said
    assert "Pay when you collect it, or before." in said


def test_without_any_way_to_pay_they_are_told_to_ask(cast: Cast) -> None:
    job = cast.job_at(Stage.READY)
    run()
    letter = letter_of(job, "ready")
    assert "Ask us how to pay: answer this letter, or ring." in words(letter)
    assert "Reference" not in words(letter)


def test_a_payment_link_stays_on_the_page(cast: Cast) -> None:
    """Letters lead to our own host and nowhere else, so that nobody learns to trust another address in them."""
    Workshop.objects.update(pay_link="https://pay.example.org/{reference}")
    job = cast.job_at(Stage.READY)
    run()
    letter = letter_of(job, "ready")
    assert "You can also pay by a link; it is on your page." in words(letter)
    assert "pay.example.org" not in letter.text + letter.html


def test_what_the_workshop_wrote_about_paying_is_no_markup(cast: Cast) -> None:
    Workshop.objects.update(account_words="<i>Cash</i>")
    job = cast.job_at(Stage.READY)
    run()
    assert "<i>Cash</i>" not in letter_of(job, "ready").html
    assert "<i>Cash</i>" in letter_of(job, "ready").text


# --- answers --------------------------------------------------------------------------------------------------------


def test_a_deposit_is_told_with_how_to_pay_it(cast: Cast) -> None:
    Workshop.objects.update(**ACCOUNT)
    job = agreed(cast, deposit=3000)
    run()
    letter = letter_of(job, "decided")
    for said in (words(letter), html_words(letter)):
        assert "The work begins once the deposit of £30 is here." in said
        assert "How to pay £30" in said
        assert "it is our move" not in said


def test_without_a_deposit_nothing_is_asked_for(cast: Cast) -> None:
    job = agreed(cast)
    run()
    said = words(letter_of(job, "decided"))
    assert "it is our move" in said
    assert "How to pay" not in said


def test_no_work_that_costs_something_is_paid_before_it_is_sent(cast: Cast) -> None:
    job = agreed(cast, yes=[])
    run()
    said = words(letter_of(job, "decided"))
    assert "Once it is paid, we send it." in said
    assert "How to pay £12" in said
    assert "Next we pack it." not in said


@pytest.mark.parametrize(
    ("yes", "says", "subject"),
    [
        (True, "The work goes on with it.", "what you agreed"),
        (False, "What you agreed before goes on.", "no to one thing more"),
    ],
)
def test_an_answer_to_one_thing_more_sends_nothing_back(
    cast: Cast, yes: bool, says: str, subject: str
) -> None:
    job = made_once(told_of, cast, Stage.IN_WORK)
    one_thing_more(cast, job, yes)
    run()
    letter = Letter.objects.filter(job=job, kind="decided").latest("pk")
    assert says in words(letter)
    assert subject in letter.subject
    assert "goes back" not in words(letter)
    staff = Letter.objects.filter(job=job, kind="staff_decided").latest("pk")
    assert "goes back" not in words(staff)


def test_branches_stand_apart_from_what_is_agreed_for_certain(cast: Cast) -> None:
    line = made_once(with_a_try, cast, branch=True, ceiling=10000)
    letter = letter_of(line.quote.job, "decided")
    for said in (words(letter), html_words(letter)):
        assert re.search(r"Together.{0,40}£38", said)
        assert "Agreed beforehand, if trying shows that it is wanted" in said
        assert "With what may follow it comes to £100 at most." in said
        assert "Your ceiling is £100" in said


def test_a_quote_for_one_thing_more_says_that_the_work_goes_on(cast: Cast) -> None:
    job = made_once(told_of, cast, Stage.IN_WORK)
    draft = quote.draft_quote(job)
    quote.put_line(draft, quote.LineDraft("work", "needed", "Fit a sound rear group", 7800))
    quote.send_quote(draft, cast.technician)
    run()
    letter = Letter.objects.filter(job=job, kind="quote_sent").latest("pk")
    assert "shows one thing more" in words(letter)
    assert "What you agreed goes on meanwhile." in words(letter)
    assert "It is your move" not in words(letter)
    assert "one thing more" in letter.subject


# --- an end without repair ------------------------------------------------------------------------------------------


def test_an_end_that_costs_something_says_how_to_pay(cast: Cast) -> None:
    Workshop.objects.update(**ACCOUNT)
    job = cast.job_at(Stage.WITHDRAWN)
    run()
    said = words(letter_of(job, "withdrawn"))
    assert "There is £37 to pay. Once it is paid, we send it." in said
    assert "BE49 9990 0000 0171" in said


@pytest.mark.parametrize(
    ("had", "said"),
    [
        (1000, "It costs £37. We have £10 of it from you; £27 is to be paid. Once it is paid, we send it."),
        (3700, "It costs £37, which we have from you already."),
        (9700, "It costs £37. We have £97 from you; £60 of it goes back to you."),
    ],
)
def test_an_end_after_a_payment_says_what_is_left_or_goes_back(cast: Cast, had: int, said: str) -> None:
    job = made_once(told_of, cast, Stage.AGREED)
    cast.pay(job, had)
    leaving.withdraw(job, cast.technician)
    run()
    assert said in words(letter_of(job, "withdrawn"))
    assert said in html_words(letter_of(job, "withdrawn"))
    assert "There is £37 to pay" not in words(letter_of(job, "withdrawn"))


def test_what_was_paid_too_much_when_it_is_ready_goes_back(cast: Cast) -> None:
    job = made_once(told_of, cast, Stage.IN_WORK)
    cast.pay(job, 10000)
    working.start_proving(job, cast.technician)
    working.prove(job, [working.Tested("transport", True)], cast.technician)
    run()
    assert "comes to £97. We have £100 from you; £3 of it goes back to you." in words(letter_of(job, "ready"))


def test_an_end_that_costs_nothing_says_nothing_of_paying(cast: Cast) -> None:
    Workshop.objects.update(assessment_fee=0, carriage_fee=0, **ACCOUNT)
    job = cast.job_at(Stage.WITHDRAWN)
    run()
    assert "BE72" not in words(letter_of(job, "withdrawn"))


def test_what_was_let_go_unpaid_says_on_its_way_that_it_is_due(cast: Cast) -> None:
    job = cast.job_at(Stage.READY)
    paying.release(job, "A friend of the house", cast.owner)
    working.send_back(job, cast.technician, "Saltmere Parcels", "SP 4411")
    run()
    said = words(letter_of(job, "sent_back"))
    assert "£97 is still to be paid." in said
    assert "friend" not in said


# --- receipts -------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("amount", "kind", "way", "says"),
    [
        (
            9700,
            "payment",
            "transfer",
            ["We have £97 from you. Thank you.", "By bank transfer", "All is paid."],
        ),
        (5000, "payment", "cash", ["In cash, on", "£47 is still to be paid."]),
        (10000, "payment", "card", ["By card, on", "£3 more than it comes to."]),
        (3000, "deposit", "link", ["By payment link", "The rest, £67, is due when it is ready."]),
    ],
)
def test_a_receipt_says_what_came_and_what_is_left(
    cast: Cast, amount: int, kind: str, way: str, says: list[str]
) -> None:
    job = made_once(told_of, cast, Stage.IN_WORK)
    cast.pay(job, amount, kind, way)
    run()
    letter = letter_of(job, "paid")
    assert letter.essential
    for sentence in says:
        assert sentence in words(letter)
        assert sentence in html_words(letter)
    assert "Next we pack it" not in words(letter)


def test_paid_and_ready_it_is_packed_next(cast: Cast) -> None:
    job = cast.job_at(Stage.READY)
    cast.pay(job)
    run()
    assert "Next we pack it and send it home to you." in words(letter_of(job, "paid"))


def test_a_refund_has_its_own_words(cast: Cast) -> None:
    job = made_once(told_of, cast, Stage.IN_WORK)
    cast.pay(job, 10000)
    cast.pay(job, 300, kind="refund")
    run()
    letter = Letter.objects.filter(job=job, kind="paid").latest("pk")
    assert "we have given you £3 back" in letter.subject
    assert "All is paid." in words(letter)


def test_a_receipt_that_was_a_mistake_is_not_sent_and_needs_no_correction(cast: Cast) -> None:
    job = cast.job_at(Stage.READY)
    cast.pay(job)
    run()
    paying.undo_payment(job.payments.get(), "Another job's", cast.technician)
    run()
    assert deliver.deliver(letter_of(job, "paid").pk) == "skipped"
    assert letter_of(job, "payment_undone").state == "skipped"


def test_a_receipt_that_went_out_is_corrected(cast: Cast, mail_to_sink: Any) -> None:
    job = cast.job_at(Stage.READY)
    cast.pay(job)
    run()
    assert deliver.deliver(letter_of(job, "paid").pk) == "sent"
    paying.undo_payment(job.payments.get(), "Another job's", cast.technician)
    run()
    letter = letter_of(job, "payment_undone")
    assert (letter.state, letter.essential) == ("waiting", True)
    assert "We wrote that we had £97 from you. That was noted by mistake." in words(letter)
    assert "£97 is still to be paid." in words(letter)
    assert "Another job" not in letter.text + letter.html


# --- tries ----------------------------------------------------------------------------------------------------------


def test_a_try_that_turns_out_well_is_news(cast: Cast) -> None:
    letter = come_out(cast, made_once(with_a_try, cast, branch=True), "It wipes off")
    assert not letter.essential
    assert "We tried it: it wipes off." in words(letter)
    assert "it costs nothing more" in words(letter)


def test_a_branch_that_goes_on_says_what_it_comes_to(cast: Cast) -> None:
    letter = come_out(cast, made_once(with_a_try, cast, branch=True, ceiling=12000), "The glass has gone")
    said = words(letter)
    assert not letter.essential
    assert "We go on as you agreed: Fit a sound lens group, £78." in said
    assert "what you agreed comes to £116" in said
    assert "That stays under your ceiling of £120." in said


def test_a_branch_that_was_not_agreed_asks_and_is_essential(cast: Cast) -> None:
    letter = come_out(cast, made_once(with_a_try, cast, branch=False), "The glass has gone")
    assert letter.essential
    assert "We stop here and ask you first." in words(letter)
    assert "we tried it, and ask you before we go on" in letter.subject


def test_a_ceiling_that_would_be_passed_is_named(cast: Cast) -> None:
    letter = come_out(cast, made_once(with_a_try, cast, branch=True, ceiling=10000), "The glass has gone")
    assert letter.essential
    assert "would pass your ceiling of £100" in words(letter)


def test_what_was_told_of_a_try_by_mistake_is_corrected(cast: Cast, mail_to_sink: Any) -> None:
    line = made_once(with_a_try, cast, branch=True)
    letter = come_out(cast, line, "The glass has gone")
    assert deliver.deliver(letter.pk) == "sent"
    trying.undo_outcome(line, "Another camera's", cast.technician)
    run()
    undone = letter_of(line.quote.job, "try_undone")
    assert (undone.state, undone.essential) == ("waiting", True)
    assert "That was noted by mistake." in words(undone)
    assert "Another camera" not in undone.text + undone.html


def test_a_mistake_that_nobody_read_of_needs_no_correction(cast: Cast, mail_to_sink: Any) -> None:
    line = made_once(with_a_try, cast, branch=True)
    letter = come_out(cast, line, "The glass has gone")
    trying.undo_outcome(line, "Another camera's", cast.technician)
    run()
    assert deliver.deliver(letter.pk) == "skipped"
    assert letter_of(line.quote.job, "try_undone").state == "skipped"


def test_the_quote_that_follows_carries_the_news_of_a_try(cast: Cast) -> None:
    line = made_once(with_a_try, cast, branch=False)
    letter = come_out(cast, line, "The glass has gone")
    draft = quote.draft_quote(line.quote.job)
    quote.put_line(draft, quote.LineDraft("part", "needed", "Fit a sound lens group", 7800))
    quote.send_quote(draft, cast.technician)
    assert deliver.deliver(letter.pk) == "skipped"
    letter.refresh_from_db()
    assert letter.why == "The quote tells of it."


def test_who_wants_no_news_hears_of_a_try_only_where_we_ask(cast: Cast) -> None:
    line = made_once(with_a_try, cast, branch=False)
    type(line.quote.job.customer).objects.update(wants_progress=False)
    assert come_out(cast, line, "The glass has gone").state == "waiting"


def test_a_letter_that_is_written_again_says_the_sums_of_its_own_day(cast: Cast) -> None:
    from notifications import writing

    job = cast.job_at(Stage.READY)
    run()
    cast.pay(job, 5000)
    letter = letter_of(job, "ready")
    writing.compose(letter)
    assert "How to pay £97" in words(letter)
