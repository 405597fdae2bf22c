"""Quotes that replace or add to others: what changed, one thing more, what was agreed before."""

from datetime import timedelta

import pytest
import time_machine
from django.utils import timezone
from django.utils.formats import date_format

from jobs.actions import quote, trying, working
from jobs.actions.quote import Sending
from jobs.actions.quote_lines import LineDraft
from jobs.models import Decision, Job, Paper, Quote
from jobs.words import LeftAs, Stage
from tests.once import made_once
from tests.portal.customer.pages import answer_typed, follow, to, words_of
from tests.portal.customer.quotes import chosen, line, supplement

GROUP = "A rear lens group"


@pytest.fixture
def job(cast):
    return made_once(cast.job_at, Stage.QUOTED)


@pytest.fixture
def visitor(as_customer, job):
    return as_customer(job)


def words(visitor, job, page="my_quote"):
    return words_of(visitor.get(to(page, job)).text)


def revise(cast, job, price=9250):
    """The gears dearer, a fork more, the covering gone."""
    draft = quote.draft_quote(job)
    gears = line(draft, "Free the winding gears")
    quote.put_line(
        draft,
        LineDraft("work", "needed", gears.title, price, gears.why, findings=list(gears.findings.all())),
        gears,
    )
    quote.remove_line(line(draft, "New covering on the front"))
    quote.put_line(draft, LineDraft("part", "advised", "A new fork", 3900))
    return quote.send_quote(draft, cast.technician, valid_until=job.quotes.open().get().valid_until)


CHANGED = (
    "What changed since quote 1 Free the winding gears: now £92.50. It was £85. New: A new fork, £39. "
    "No longer in it: New covering on the front, £42."
)


# --- replaced ---------------------------------------------------------------------------------------------------------


def test_a_first_quote_says_nothing_of_changes(visitor, job):
    assert "What changed" not in words(visitor, job)


def test_a_new_quote_says_what_it_changes(cast, visitor, job):
    revise(cast, job)
    assert CHANGED in words(visitor, job)


def test_who_had_the_old_one_open_is_told_kindly_what_changed_and_agrees_nothing(cast, visitor, job):
    typed = answer_typed(job.quotes.open().get())
    revise(cast, job)
    response = visitor.post(to("my_quote", job), typed)
    assert response.status_code == 409
    said = words_of(response.text)
    assert "While you were reading, we changed the quote. Nothing was agreed." in said
    assert CHANGED in said
    assert "Agree to the work and to pay for it" in said
    assert not Decision.objects.exists()


def test_who_had_one_before_the_last_open_is_told_all_that_changed_since(cast, visitor, job):
    typed = answer_typed(job.quotes.open().get())
    revise(cast, job)
    second = quote.draft_quote(job)
    gears = line(second, "Free the winding gears")
    quote.put_line(
        second,
        LineDraft("work", "needed", gears.title, 9900, gears.why, findings=list(gears.findings.all())),
        gears,
    )
    quote.send_quote(second, cast.technician, valid_until=job.quotes.open().get().valid_until)
    said = words_of(visitor.post(to("my_quote", job), typed).text)
    assert (
        "What changed since quote 1 Free the winding gears: now £99. It was £85. New: A new fork, £39."
        in said
    )
    assert "What changed since quote 2 Free the winding gears: now £99. It was £92.50." in words(visitor, job)


def test_who_had_one_open_that_was_taken_back_is_told_so(cast, visitor, job):
    typed = answer_typed(job.quotes.open().get())
    quote.take_back_quote(job, cast.technician)
    response = visitor.post(to("my_quote", job), typed)
    assert response.status_code == 409
    assert "While you were reading, we took the quote back. Nothing was agreed by it." in response.text


def test_a_renewed_quote_says_that_only_its_day_is_new(cast, as_customer, job):
    with time_machine.travel(timezone.now() + timedelta(days=40), tick=False):
        quote.lapse(job.quotes.get())
        quote.renew(job, cast.technician)
        said = words(as_customer(job), job)
    changes = said[said.index("What changed since quote 1") : said.index("Needed")]
    assert changes.startswith("What changed since quote 1 It is good until ")
    assert changes.count(".") == 1


def test_the_kept_page_has_the_changes_that_stood_on_it(cast, visitor, job):
    visitor.post(to("my_quote", job), answer_typed(revise(cast, job)))
    assert CHANGED in words_of(bytes(Paper.objects.get(kind="page").body).decode())


# --- one thing more ---------------------------------------------------------------------------------------------------


@pytest.fixture
def agreed(cast, job):
    cast.agree(job.quotes.get())
    working.start_work(job, cast.technician)
    return job


def test_one_thing_more_says_that_what_is_agreed_goes_on_and_what_it_came_to(cast, visitor, agreed):
    supplement(cast, agreed)
    said = words(visitor, agreed)
    assert (
        "One thing more The work shows more than we knew. What you agreed before, £97 so far, goes on meanwhile"
        in said
    )
    assert "Saying no to it costs nothing." in said


def test_one_thing_more_that_the_work_waits_for_says_so(cast, visitor, agreed):
    supplement(cast, agreed, work_waits=True)
    assert "waits for your answer. What you agreed before, £97 so far, stays agreed." in words(
        visitor, agreed
    )


def test_what_was_agreed_before_stands_folded_below(cast, visitor, agreed):
    supplement(cast, agreed)
    said = words(visitor, agreed)
    assert said.index("What you agreed before Quote 1, answered on") > said.index("The terms")
    assert (
        "Free the winding gears £85 Insured post home £12 You said no to: New covering on the front." in said
    )


def test_yes_to_it_adds_to_what_is_agreed(cast, visitor, agreed):
    more = supplement(cast, agreed)
    page = follow(visitor, visitor.post(to("my_quote", agreed), chosen(more, GROUP)))
    assert "Your answer is kept" in page
    agreed.refresh_from_db()
    assert agreed.stage == Stage.IN_WORK
    assert "All that you agreed comes to £175 so far." in words(visitor, agreed)


def test_no_to_it_by_its_own_button_costs_nothing_and_needs_no_tick(cast, visitor, agreed):
    more = supplement(cast, agreed)
    page = follow(visitor, visitor.post(to("my_quote", agreed), chosen(more, nothing="1", terms="")))
    assert "We leave it; what you agreed before goes on." in page
    decision = more.decision
    assert (decision.gross, decision.agreed_anything) == (0, False)
    assert "I want nothing of this." in decision.sentence
    assert '"button":"No to all of it, go on as agreed"' in decision.record
    agreed.refresh_from_db()
    assert agreed.stage == Stage.IN_WORK


def test_no_to_it_says_no_whatever_the_radios_say(cast, visitor, agreed):
    more = supplement(cast, agreed)
    visitor.post(to("my_quote", agreed), chosen(more, GROUP, nothing="1"))
    assert not more.decision.agreed_anything


def test_no_to_it_is_signed_with_a_name_too(cast, visitor, agreed):
    more = supplement(cast, agreed)
    response = visitor.post(to("my_quote", agreed), chosen(more, nothing="1", name=" "))
    assert response.status_code == 422
    assert "Type your full name." in response.text
    more.refresh_from_db()
    assert more.state == "open"


def test_no_to_every_line_of_it_under_the_yes_button_asks_what_is_meant(cast, visitor, agreed):
    more = supplement(cast, agreed)
    response = visitor.post(to("my_quote", agreed), chosen(more))
    assert response.status_code == 422
    assert "You said no to everything here." in response.text
    assert not hasattr(Quote.objects.get(pk=more.pk), "decision")


def test_a_first_quote_has_no_button_that_says_no_to_all(visitor, job):
    visitor.post(to("my_quote", job), answer_typed(job.quotes.get(), nothing="1"))
    assert Decision.objects.get().agreed_anything


def test_one_thing_more_that_lapsed_leaves_what_was_agreed(cast, visitor, agreed):
    more = supplement(cast, agreed)
    Quote.objects.filter(pk=more.pk).update(valid_until=timezone.localdate() - timedelta(days=1))
    assert "What you agreed before goes on." in words(visitor, agreed)
    assert "There was one thing more." in words(visitor, agreed, "my")
    assert visitor.post(to("my_quote", agreed), chosen(more, GROUP)).status_code == 409


def test_one_thing_more_that_was_taken_back_leaves_what_was_agreed(cast, visitor, agreed):
    supplement(cast, agreed)
    quote.take_back_quote(agreed, cast.technician)
    assert "What you agreed before goes on." in words(visitor, agreed)
    assert "we took that quote back. What you agreed goes on." in words(visitor, agreed, "my")


def test_the_customers_page_says_what_is_agreed_and_what_waits(cast, visitor, agreed):
    supplement(cast, agreed)
    said = words(visitor, agreed, "my")
    assert "One thing more, and what you agreed" in said
    assert "Agreed on" in said
    assert "for £97 together: Free the winding gears" in said


def test_the_customers_page_names_both_answers(cast, visitor, agreed):
    more = supplement(cast, agreed)
    visitor.post(to("my_quote", agreed), chosen(more, GROUP))
    said = words(visitor, agreed, "my")
    assert f"for £78 together: {GROUP}" in said
    assert "for £97 together: Free the winding gears" in said


def test_the_customers_page_keeps_the_answer_apart_from_a_no_to_one_thing_more(cast, visitor, agreed):
    more = supplement(cast, agreed)
    visitor.post(to("my_quote", agreed), chosen(more, nothing="1"))
    said = words(visitor, agreed, "my")
    assert "to one thing more. What you agreed goes on." in said
    assert "for £97 together: Free the winding gears" in said


# --- deposit, and how it goes home ------------------------------------------------------------------------------------


def test_a_deposit_is_said_before_signing_and_in_what_is_agreed_to(cast, visitor, job):
    draft = quote.draft_quote(job)
    sent = quote.send_quote(draft, cast.technician, sending=Sending(deposit=6000))
    said = words(visitor, job)
    assert "We ask for £60 of it before the work begins." in said
    assert "I pay £60 of it before the work begins." in said
    assert "You pay £60 before the work begins, and the rest when it is done" in said
    visitor.post(to("my_quote", job), answer_typed(sent))
    assert "I pay £60 of it before the work begins." in Decision.objects.get().sentence


def test_how_it_would_go_home_is_said_before_no(cast, visitor, job):
    draft = quote.draft_quote(job)
    how = Sending(if_declined=LeftAs.TOGETHER, if_declined_note="The shutter works at B only.")
    quote.send_quote(draft, cast.technician, sending=how)
    said = "like this: Put together, but not as it came. The shutter works at B only."
    assert said in words(visitor, job)
    assert said in words(visitor, job, "my_leave")


def test_without_a_word_on_it_the_leaving_page_says_the_usual(visitor, job):
    assert "We put it together again and send it back without repair." in words(visitor, job, "my_leave")


def test_terms_say_old_parts_only_where_parts_are_replaced(cast, visitor, job):
    assert "Parts that we replace are yours." not in words(visitor, job)
    revise(cast, job)
    assert "Parts that we replace are yours." in words(visitor, job)


def test_the_workshop_reads_it_without_a_form(cast, as_staff, agreed):
    supplement(cast, agreed)
    page = as_staff(cast.technician_user).get(to("my_quote", agreed)).text
    assert "It waits for the customer’s answer." in page
    assert 'name="terms"' not in page
    assert Job.objects.get(pk=agreed.pk).opened_at is None


def test_a_finding_that_could_not_be_known_says_what_came_out_once_it_was_tried(cast, as_customer):
    job = cast.job_at(Stage.EXAMINING)
    haze = cast.post_finding(job, "We cannot know yet if the haze will clear", certainty="untried")
    seen = cast.post_finding(job, "A loose screw")
    draft = quote.draft_quote(job)
    outcomes = (quote.OutcomeDraft("It wipes off", 3), quote.OutcomeDraft("The glass has gone", 1))
    clean = quote.LineDraft("work", "needed", "Clean it", 3800, findings=[haze, seen], outcomes=outcomes)
    line = quote.put_line(draft, clean)
    cast.agree(quote.send_quote(draft, cast.technician), [line.pk])
    working.start_work(job, cast.technician)
    visitor = as_customer(job)
    assert "We tried it on" not in words_of(visitor.get(to("my", job)).text)
    trying.note_outcome(line, line.outcomes.get(title="The glass has gone"), cast.technician)
    page = words_of(visitor.get(to("my", job)).text)
    said = f"We tried it on {date_format(timezone.localdate(), 'j F')}: The glass has gone"
    assert f"We cannot know yet if the haze will clear {said}" in page
    assert page.count(said) == 1
