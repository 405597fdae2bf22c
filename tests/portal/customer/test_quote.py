"""The quote: read, added up, answered once, on exactly what was seen."""

import re
from datetime import timedelta

import pytest
import time_machine
from django.utils import timezone

from jobs.actions import finding, leaving, quote
from jobs.evidence import reckon_answer, sheet
from jobs.models import Decision, Job, Kind, Question
from jobs.money import show
from jobs.words import Stage
from tests.once import made_once
from tests.portal.customer.pages import HTMX, answer_typed, chosen_in, follow, to, words_of


@pytest.fixture
def job(cast):
    return made_once(cast.job_at, Stage.QUOTED)


@pytest.fixture
def sent(job):
    return job.quotes.open().get()


@pytest.fixture
def visitor(as_customer, job):
    return as_customer(job)


def line(sent, need):
    return next(each for each in sent.lines.all() if each.need == need and not each.is_fixed)


def test_what_is_needed_is_chosen_beforehand_and_nothing_else(visitor, job, sent):
    page = visitor.get(to("my_quote", job)).text
    assert chosen_in(page, f"line-{line(sent, 'needed').pk}") == "yes"
    assert chosen_in(page, f"line-{line(sent, 'optional').pk}") == "no"


def test_each_line_says_why_and_which_finding_it_answers(visitor, job):
    words = words_of(visitor.get(to("my_quote", job)).text)
    assert "Free the winding gears £85 Without this it cannot wind on." in words
    assert "Seen: A screw had dropped among the gears" in words
    assert "With 12 months of warranty." in words


def test_what_is_not_chosen_but_comes_with_the_job_is_stated(visitor, job):
    words = words_of(visitor.get(to("my_quote", job)).text)
    assert "Insured post home £12" in words


def test_the_terms_are_said_where_they_are_ticked(visitor, job):
    page = visitor.get(to("my_quote", job)).text
    assert "You pay when the work is done, before it goes home." in page
    assert "Agree to the work and to pay for it</button>" in page


@pytest.mark.parametrize("yes", [[], ["needed"], ["needed", "optional"], ["optional"]])
def test_the_sum_on_the_page_is_the_sum_of_the_evidence(visitor, job, sent, yes):
    wanted = [each.pk for each in sent.lines.all() if each.need in yes and not each.is_fixed]
    gross = reckon_answer(sent, sheet(sent), wanted).total.gross
    response = visitor.post(to("my_total", job), answer_typed(sent, yes), headers=HTMX)
    assert f"Together £{gross // 100}" in words_of(response.text)


def test_the_sum_that_is_swapped_is_a_piece_of_the_whole_page(visitor, job, sent):
    fragment = visitor.post(to("my_total", job), answer_typed(sent), headers=HTMX).text
    reckoning = fragment[: fragment.index("</section>")].strip()
    assert reckoning in visitor.get(to("my_quote", job)).text
    assert "<html" not in fragment


def test_working_it_out_without_scripts_changes_nothing_and_keeps_everything(visitor, job, sent):
    response = visitor.post(
        to("my_total", job), answer_typed(sent, ["needed", "optional"], name="Orla F", terms="")
    )
    assert response.status_code == 200
    assert chosen_in(response.text, f"line-{line(sent, 'optional').pk}") == "yes"
    assert "Together £139" in words_of(response.text)
    assert 'value="Orla F"' in response.text
    assert "Type your full name" not in response.text
    assert not Decision.objects.exists()


def test_signing_agrees_to_what_was_chosen_and_thanks(visitor, job, sent):
    page = follow(visitor, visitor.post(to("my_quote", job), answer_typed(sent, ["needed", "optional"])))
    decision = Decision.objects.get()
    assert (decision.name, decision.gross, decision.shown_hash) == ("Orla Fennimore", 13900, sent.shown_hash)
    assert "Thank you, Orla." in page
    assert "It is our move." in page


def test_what_is_kept_is_the_sentence_and_the_terms_that_were_on_the_page(visitor, job, sent):
    page = words_of(visitor.get(to("my_quote", job)).text)
    visitor.post(to("my_quote", job), answer_typed(sent))
    for kept in Decision.objects.get().sentence.splitlines():
        assert kept in page


def test_from_where_it_came_is_kept_apart(visitor, job, sent):
    visitor.post(to("my_quote", job), answer_typed(sent), headers={"User-Agent": "A telephone"})
    trace = Decision.objects.get().trace
    assert (trace.address, trace.agent) == ("127.0.0.1", "A telephone")
    assert trace.link.job == job


@pytest.mark.parametrize(
    ("changed", "sentence"),
    [
        ({"name": " "}, "Type your full name."),
        ({"name": "x" * 121}, "120"),
        ({"terms": ""}, "Read the terms and tick them first."),
    ],
)
def test_a_bad_signature_says_so_and_keeps_every_choice(visitor, job, sent, changed, sentence):
    response = visitor.post(to("my_quote", job), answer_typed(sent, ["optional"]) | changed)
    assert response.status_code == 422
    assert sentence in response.text
    assert chosen_in(response.text, f"line-{line(sent, 'optional').pk}") == "yes"
    assert chosen_in(response.text, f"line-{line(sent, 'needed').pk}") == "no"
    assert not Decision.objects.exists()


@pytest.mark.parametrize("value", ["", "maybe"])
def test_a_line_without_yes_or_no_is_asked_for_by_name(visitor, job, sent, value):
    needed = line(sent, "needed")
    response = visitor.post(to("my_quote", job), answer_typed(sent) | {f"line-{needed.pk}": value})
    assert response.status_code == 422
    assert f'href="#id_line-{needed.pk}"' in response.text
    assert "Choose yes or no." in response.text
    assert not Decision.objects.exists()


def test_no_to_everything_leads_to_what_that_costs_before_anything_happens(visitor, job, sent):
    page = follow(visitor, visitor.post(to("my_quote", job), answer_typed(sent, [], name="", terms="")))
    assert "Send it back as it is?" in page
    assert "That costs £37 in all." in page
    job.refresh_from_db()
    assert job.stage == Stage.QUOTED


def test_signing_twice_agrees_once(visitor, job, sent):
    typed = answer_typed(sent)
    first, second = visitor.post(to("my_quote", job), typed), visitor.post(to("my_quote", job), typed)
    assert first["Location"] == to("my", job)
    assert "This quote has its answer already." in follow(visitor, second)
    assert job.entries.filter(kind=Kind.DECIDED).count() == 1


def test_a_quote_that_was_replaced_is_not_agreed_to_unseen(cast, visitor, job, sent):
    typed = answer_typed(sent)
    fresh = quote.draft_quote(job)
    quote.put_line(fresh, quote.LineDraft("part", "advised", "A new fork", 9900))
    quote.send_quote(fresh, cast.technician)
    response = visitor.post(to("my_quote", job), typed)
    assert response.status_code == 409
    assert "While you were reading, we changed the quote. Nothing was agreed." in response.text
    assert "A new fork" in response.text
    assert not Decision.objects.exists()


@pytest.mark.parametrize("changed", [{"shown_hash": "0" * 64}, {"quote": 999_999}, {"quote": "one"}])
def test_a_form_that_is_not_of_the_quote_that_stands_agrees_nothing(visitor, job, sent, changed):
    response = visitor.post(to("my_quote", job), answer_typed(sent) | changed)
    assert response.status_code == 409
    assert not Decision.objects.exists()


def test_the_quote_of_another_job_cannot_be_answered(cast, visitor, job):
    other = cast.job_at(Stage.QUOTED, cast.another_book()).quotes.open().get()
    assert visitor.post(to("my_quote", job), answer_typed(other)).status_code == 409
    assert not Decision.objects.exists()


def test_a_lapsed_quote_is_shown_and_takes_no_answer(as_customer, job, sent):
    with time_machine.travel(timezone.now() + timedelta(days=40), tick=False):
        response = as_customer(job).post(to("my_quote", job), answer_typed(sent))
    assert response.status_code == 409
    assert "This quote’s last day has passed" in response.text
    assert 'name="terms"' not in response.text
    assert not Decision.objects.exists()


def test_a_lapsed_quote_can_be_asked_for_again_by_one_press(as_customer, job):
    with time_machine.travel(timezone.now() + timedelta(days=40), tick=False):
        visitor = as_customer(job)
        page = visitor.get(to("my_quote", job)).text
        asked = dict(re.findall(r'<input type="hidden" name="(once|text)" value="([^"]*)">', page))
        visitor.post(to("my_questions", job), asked)
    assert Question.objects.get().text == "Please renew quote 1; I would like to answer it."


def test_after_the_answer_the_page_shows_what_was_agreed_and_its_fingerprint(visitor, job, sent):
    visitor.post(to("my_quote", job), answer_typed(sent))
    page = visitor.get(to("my_quote", job)).text
    words = words_of(page)
    assert "What you agreed" in words
    assert sent.shown_hash in page
    assert words.count("You said yes.") == 1
    assert words.count("You said no; we leave it.") == 1
    assert "Together £97" in words


def test_an_answer_by_telephone_says_who_noted_it(cast, visitor, job, sent):
    from jobs.actions import deciding

    yes = [line(sent, "needed").pk]
    said = deciding.Answer(
        sent.shown_hash, yes, "Orla Fennimore", "Yes.", Decision.Way.TELEPHONE, "Jory Pell"
    )
    deciding.decide(sent, said, cast.technician)
    assert "answered by telephone" in visitor.get(to("my_quote", job)).text


def test_a_quote_that_was_taken_back_says_so(cast, visitor, job, sent):
    quote.take_back_quote(job, cast.technician)
    assert "We took the quote back" in visitor.get(to("my_quote", job)).text
    assert visitor.post(to("my_quote", job), answer_typed(sent)).status_code == 409


def test_a_finding_that_was_corrected_after_the_quote_keeps_the_words_of_the_evidence(
    cast, visitor, job, sent
):
    said = job.findings.get()
    finding.correct(
        said,
        finding.Draft("transport", "seen", "explains", "stops", "Two screws"),
        "Found another.",
        cast.technician,
    )
    page = visitor.get(to("my_quote", job)).text
    assert "A screw had dropped among the gears" in page
    assert "(changed since; see your page)" in page


def test_tax_that_is_added_stands_as_a_row_of_its_own(as_customer, cast):
    cast.workshop.tax_mode = "added"
    cast.workshop.save()
    job = cast.job_at(Stage.QUOTED)
    words = words_of(as_customer(job).get(to("my_quote", job)).text)
    assert "VAT 20 % £19.40 Together £116.40" in words


def test_without_tax_no_tax_is_named(as_customer, cast):
    cast.workshop.tax_mode, cast.workshop.tax_rate_bp = "none", 0
    cast.workshop.save()
    job = cast.job_at(Stage.QUOTED)
    assert "VAT" not in as_customer(job).get(to("my_quote", job)).text


def test_a_question_about_a_line_is_asked_from_where_it_stands(visitor, job, sent):
    needed = line(sent, "needed")
    typed = {"text": "Must this be?", "about": f"line-{needed.pk}", "once": "5e2c" + "0" * 28}
    for _ in range(2):
        response = visitor.post(to("my_questions", job), typed, headers=HTMX)
        assert f'id="ask-line-{needed.pk}"' in response.text
    assert "<html" not in response.text
    assert Question.objects.get().line == needed


def test_an_empty_question_about_a_line_says_so_there(visitor, job, sent):
    needed = line(sent, "needed")
    typed = {"text": " ", "about": f"line-{needed.pk}", "once": "5e2c" + "0" * 28}
    response = visitor.post(to("my_questions", job), typed, headers=HTMX)
    assert response.status_code == 422
    assert "Write your question first." in response.text
    assert f'id="ask-line-{needed.pk}"' in response.text


# --- somebody else, or we, were quicker ---------------------------------------------------------------------------------


def test_a_sum_for_a_quote_that_was_replaced_leads_to_the_new_one_and_says_why(cast, visitor, job, sent):
    typed = answer_typed(sent)
    fresh = quote.draft_quote(job)
    quote.put_line(fresh, quote.LineDraft("part", "advised", "A new fork", 9900))
    quote.send_quote(fresh, cast.technician)
    response = visitor.post(to("my_total", job), typed, headers=HTMX)
    assert response["HX-Redirect"] == to("my_quote", job)
    page = visitor.get(to("my_quote", job)).text
    assert "While you were reading, we changed the quote. Nothing was agreed." in page
    assert "A new fork" in page


def test_a_sum_for_a_quote_that_was_answered_in_another_window_says_so(visitor, job, sent):
    visitor.post(to("my_quote", job), answer_typed(sent))
    visitor.get(to("my", job))  # reads the thanks
    assert visitor.post(to("my_total", job), answer_typed(sent), headers=HTMX)["HX-Redirect"]
    assert (
        "This quote has its answer already. It stands as it was given."
        in visitor.get(to("my_quote", job)).text
    )


# --- saying no, and what it costs -------------------------------------------------------------------------------------


def test_what_saying_no_to_all_costs_stands_beside_it(cast, visitor, job, sent):
    cost = leaving.cost_of_leaving(job).sums.gross
    assert cost
    assert f"That costs {show(cost, 'GBP')} in all." in words_of(visitor.get(to("my_quote", job)).text)


@pytest.mark.parametrize(
    ("how", "sentence"),
    [
        ({}, "The examination and the post are then still to be paid."),
        ({"return_by": "collect"}, "The examination is then still to be paid."),
    ],
)
def test_the_terms_say_what_a_change_of_mind_leaves_to_pay(as_customer, job, sent, how, sentence):
    Job.objects.filter(pk=job.pk).update(**how)
    assert f"you can change your mind. {sentence}" in words_of(as_customer(job).get(to("my_quote", job)).text)


def test_under_a_claim_a_change_of_mind_costs_nothing(cast, as_customer, job, sent):
    Job.objects.filter(pk=job.pk).update(claim_on=cast.job_at(Stage.RETURNED, cast.another_book()))
    words = words_of(as_customer(job).get(to("my_quote", job)).text)
    assert "you can change your mind. That costs nothing." in words
    assert "in all. The next page" not in words
