import json
from dataclasses import replace
from datetime import timedelta
from hashlib import sha256

import pytest
import time_machine
from django.utils import timezone

from jobs.accounts import account
from jobs.actions import quote
from jobs.actions.deciding import Answer, AnsweredBefore, Decided, Lapsed, Origin, Replaced, decide
from jobs.actions.refusals import Refused
from jobs.actor import Actor
from jobs.canonical import digest, salted
from jobs.models import Decision, Job, Paper, Quote
from jobs.words import Holder, Stage
from tests.cast import Cast
from tests.once import made_once

SENTENCE = "I agree to this work and to pay for it."


@pytest.fixture
def sent(cast: Cast) -> Quote:
    return made_once(cast.job_at, Stage.QUOTED).quotes.get()


def answer(sent: Quote, yes: list[int] | None = None, **more: str) -> Answer:
    wanted = [sent.lines.first().pk] if yes is None else yes  # type: ignore[union-attr]
    return Answer(
        **{"shown_hash": sent.shown_hash, "name": "Orla Fennimore", "sentence": SENTENCE, **more}, yes=wanted
    )  # type: ignore[arg-type]


def orla(sent: Quote) -> Actor:
    return Actor.customer(sent.job.customer)


def test_an_agreed_line_brings_the_job_to_agreed(sent: Quote) -> None:
    assert isinstance(decide(sent, answer(sent), orla(sent)), Decided)
    assert Job.objects.get().stage == Stage.AGREED


def test_the_sum_is_that_of_what_was_agreed_and_what_comes_with_it(sent: Quote) -> None:
    decide(sent, answer(sent), orla(sent))
    decision = Decision.objects.get()
    assert (decision.gross, decision.net + decision.tax) == (9700, 9700)


def test_every_line_has_its_yes_or_no(sent: Quote) -> None:
    decide(sent, answer(sent), orla(sent))
    assert [choice.yes for choice in Decision.objects.get().choices.order_by("line__position")] == [
        True,
        False,
        True,
    ]


def test_the_evidence_is_exactly_what_was_shown(sent: Quote) -> None:
    decide(sent, answer(sent), orla(sent))
    decision = Decision.objects.get()
    assert (decision.shown, decision.shown_hash) == (sent.shown, sent.shown_hash)
    assert sent.job.entries.filter(kind="decided").get().data["hash"] == sent.shown_hash


def test_agreeing_to_nothing_sends_it_back_as_it_is(sent: Quote) -> None:
    decide(sent, answer(sent, yes=[]), orla(sent))
    assert Job.objects.get().stage == Stage.WITHDRAWN


def test_nothing_is_agreed_without_a_name(sent: Quote) -> None:
    with pytest.raises(Refused) as refused:
        decide(sent, answer(sent, name="  "), orla(sent))
    assert refused.value.field == "name"
    assert not Decision.objects.exists()


def test_a_second_press_changes_nothing_and_is_told_what_stands(sent: Quote) -> None:
    decide(sent, answer(sent), orla(sent))
    again = decide(sent, answer(sent, yes=[]), orla(sent))
    assert isinstance(again, AnsweredBefore)
    assert again.decision.agreed_anything


def test_a_quote_that_was_replaced_is_not_agreed_and_the_new_one_is_named(cast: Cast, sent: Quote) -> None:
    newer = quote.send_quote(quote.draft_quote(sent.job), cast.technician)
    assert decide(sent, answer(sent), orla(sent)) == Replaced(newer)


def test_an_answer_to_other_words_than_those_that_stand_is_not_taken(sent: Quote) -> None:
    assert decide(sent, answer(sent, shown_hash="0" * 64), orla(sent)) == Replaced(sent)


def test_a_quote_past_its_day_is_not_agreed_even_before_the_sweep_came(sent: Quote) -> None:
    with time_machine.travel(timezone.now() + timedelta(days=30), tick=False):
        assert decide(sent, answer(sent), orla(sent)) == Lapsed(sent)


def test_a_line_of_another_quote_is_never_agreed(cast: Cast, sent: Quote) -> None:
    other = cast.job_at(Stage.QUOTED, name="Ivo Harkaway", email="ivo@example.net").quotes.get()
    with pytest.raises(Refused, match="does not have"):
        decide(sent, answer(sent, yes=[other.lines.first().pk]), orla(sent))  # type: ignore[union-attr]
    assert not Decision.objects.exists()
    sent.refresh_from_db()
    assert sent.state == Quote.State.OPEN


def test_an_answer_by_telephone_is_noted_as_what_it_is(cast: Cast, sent: Quote) -> None:
    by_phone = answer(sent, way="telephone", noted_by="Hester Quill")
    decide(sent, by_phone, cast.owner)
    entry = sent.job.entries.get(kind="decided")
    assert (entry.data["way"], entry.by_kind) == ("telephone", "staff")


def test_where_it_came_from_is_kept_apart_from_the_evidence(sent: Quote) -> None:
    decide(sent, answer(sent), orla(sent), Origin("198.51.100.7", "A browser"))
    decision = Decision.objects.get()
    assert decision.trace.address == "198.51.100.7"
    assert "198.51.100.7" not in sent.job.entries.get(kind="decided").body


def test_what_was_noted_of_an_answer_is_hashed_and_the_journal_has_the_hash(sent: Quote) -> None:
    decide(sent, answer(sent), orla(sent), Origin("198.51.100.7", "A browser"))
    decision = Decision.objects.get()
    assert digest(decision.record) == decision.record_hash
    assert sent.job.entries.get(kind="decided").data["record"] == decision.record_hash


def test_the_record_names_name_sentence_sums_and_what_was_shown(sent: Quote) -> None:
    decide(sent, answer(sent, button="Agree to the work and to pay for it"), orla(sent))
    record = json.loads(Decision.objects.get().record)
    assert (record["name"], record["sentence"]) == ("Orla Fennimore", SENTENCE)
    assert (record["gross"], record["shown"], record["button"]) == (
        9700,
        sent.shown_hash,
        "Agree to the work and to pay for it",
    )


def test_an_address_stands_in_the_record_only_as_a_hash_that_nobody_can_guess(sent: Quote) -> None:
    decide(sent, answer(sent), orla(sent), Origin("198.51.100.7", "A browser"))
    decision = Decision.objects.get()
    record = json.loads(decision.record)
    assert "198.51.100.7" not in decision.record
    assert record["address"] == salted(decision.trace.salt, "198.51.100.7")
    assert len(decision.trace.salt) >= 40


def test_the_page_as_it_stood_is_kept_byte_for_byte(sent: Quote) -> None:
    page = "<p>Free the winding gears: £85</p>".encode()
    decide(sent, replace(answer(sent), page=page), orla(sent))
    paper = Paper.objects.get()
    assert bytes(paper.body) == page
    assert json.loads(Decision.objects.get().record)["page"] == paper.sha256 == sha256(page).hexdigest()


def test_a_browser_that_calls_itself_by_an_empty_byte_can_answer(cast: Cast, sent: Quote) -> None:
    """PostgreSQL holds none in a text: the answer must not be lost for it."""
    origin = Origin("203.0.113.9", "Odd\0Browser")
    outcome = decide(sent, answer(sent), Actor.customer(sent.job.customer), origin)
    assert isinstance(outcome, Decided)
    assert outcome.decision.trace.agent == "OddBrowser"


def test_a_deposit_above_what_was_chosen_is_not_waited_for(cast: Cast) -> None:
    job = cast.job_at(Stage.EXAMINING)
    draft = quote.draft_quote(job)
    quote.put_line(draft, quote.LineDraft("work", "needed", "Free the gears", 8500))
    free = quote.put_line(draft, quote.LineDraft("work", "optional", "Turn the strap lug", 0))
    cast.agree(quote.send_quote(draft, cast.technician, sending=quote.Sending(deposit=3000)), [free.pk])
    job.refresh_from_db()
    assert (account(job).deposit_due, job.holder) == (0, Holder.WORKSHOP)
