"""The evidence is checked piece by piece: whatever somebody with the database in their hands changes is named."""

import json
from collections.abc import Iterator
from datetime import timedelta
from typing import Any

import pytest
from django.core.management import CommandError, call_command
from django.db import connection
from django.utils import timezone

from jobs import verifying
from jobs.actions import deciding, recording
from jobs.actions.deciding import Answer, Origin, decide
from jobs.actions.erasing import erase_traces
from jobs.actions.linking import find_link, issue_link
from jobs.actions.papering import answer_paper
from jobs.actions.recording import keep_paper
from jobs.actor import Actor
from jobs.canonical import digest, salted
from jobs.models import Choice, Decision, Job, Paper, Quote, Trace
from jobs.triggers import guard_evidence, unguard_evidence
from jobs.words import Stage
from tests.cast import Cast
from tests.once import made_once

PAGE = b"<!doctype html><title>The quote</title><p>Free the winding gears: \xc2\xa385</p>"
AGENT = "A browser " * 60  # longer than its column


@pytest.fixture
def answered(cast: Cast) -> Decision:
    return made_once(answered_on_the_page, cast)


def answered_on_the_page(cast: Cast) -> Decision:
    """A quote answered on the page with everything that can be noted of it, and its paper."""
    job = cast.job_at(Stage.QUOTED)
    sent = job.quotes.get()
    wanted = [line.pk for line in sent.lines.all() if line.need == "needed"]
    link = find_link(issue_link(job, made_for="orla@example.org"))
    answer = Answer(sent.shown_hash, wanted, "Orla Fennimore", "I agree.", ceiling=12000, page=PAGE)
    outcome = decide(sent, answer, Actor.customer(job.customer), Origin("192.0.2.7", AGENT, link, "ab" * 32))
    assert isinstance(outcome, deciding.Decided)
    answer_paper(outcome.decision)
    return outcome.decision


@pytest.fixture(autouse=True)
def guards_are_laid_again(db: None) -> Iterator[None]:
    yield
    guard_evidence()


def job_of(decision: Decision) -> Job:
    return Job.objects.get(quotes__decision=decision)


def tamper(table: str, change: str, pk: Any, *values: Any) -> None:
    unguard_evidence()
    with connection.cursor() as cursor:
        cursor.execute(f"UPDATE {table} SET {change} WHERE id = %s", [*values, pk])
    guard_evidence()


def first_break(decision: Decision) -> str:
    found = verifying.verify(job_of(decision))
    return found.why if found else ""


def flipped(text: str, at: int = -2) -> str:
    """One sign changed, so that it is still JSON where the sign stands in a word."""
    place = at % len(text)
    return text[:place] + ("x" if text[place] != "x" else "y") + text[place + 1 :]


def test_an_answer_that_nobody_touched_is_whole(answered: Decision) -> None:
    assert verifying.verify(job_of(answered)) is None


def test_a_browsers_name_longer_than_its_column_is_cut_before_it_is_hashed(answered: Decision) -> None:
    """It was hashed whole once, and could not have been checked."""
    trace = Trace.objects.get(decision=answered)
    assert json.loads(answered.record)["agent"] == salted(trace.salt, AGENT[:400])


@pytest.mark.parametrize(
    ("column", "why"),
    [
        ("shown_hash", "the fingerprint of what was shown is not the one in the journal"),
        ("shown", "what was shown does not match its fingerprint"),
        ("record_hash", "the record's fingerprint is not the one in the journal"),
        ("record", "the record does not match its fingerprint"),
        ("name", "“name” is not what the journal says"),
        ("sentence", "“sentence” is not what the journal says"),
        ("noted_by", "“noted_by” is not what the record says"),
    ],
)
def test_a_changed_text_of_an_answer_is_named(answered: Decision, column: str, why: str) -> None:
    value = getattr(answered, column) or "Nobody"
    changed = flipped(value, 12) if column != "noted_by" else "Nobody"
    tamper("jobs_decision", f"{column} = %s", answered.pk, changed)
    assert first_break(answered) == f"quote 1: {why}"


@pytest.mark.parametrize("column", ["net", "tax", "lowest"])
def test_a_changed_sum_is_named(answered: Decision, column: str) -> None:
    tamper("jobs_decision", f"{column} = {column} - 1", answered.pk)
    assert first_break(answered) == f"quote 1: “{column}” is not what the record says"


@pytest.mark.parametrize("column", ["gross", "highest", "ceiling"])
def test_a_changed_sum_that_the_journal_tells_is_named(answered: Decision, column: str) -> None:
    tamper("jobs_decision", f"{column} = {column} + 1", answered.pk)
    assert first_break(answered) == f"quote 1: “{column}” is not what the journal says"


def test_a_way_that_was_changed_to_the_page_is_named(answered: Decision) -> None:
    tamper("jobs_decision", "way = 'telephone'", answered.pk)
    assert first_break(answered) == "quote 1: “way” is not what the journal says"


def test_a_changed_moment_is_named(answered: Decision) -> None:
    unguard_evidence()
    Decision.objects.filter(pk=answered.pk).update(at=answered.at - timedelta(days=1))
    assert first_break(answered) == "quote 1: “at” is not what the record says"


def test_a_turned_choice_is_named(answered: Decision) -> None:
    choice = Choice.objects.get(decision=answered, yes=False)
    tamper("jobs_choice", "yes = %s", choice.pk, True)
    assert first_break(answered) == "quote 1: the choices are not those in the journal"


def test_a_changed_quote_is_named_at_its_own_entry(answered: Decision) -> None:
    quote = answered.quote
    Quote.objects.filter(pk=quote.pk).update(shown=quote.shown.replace("8500", "9500"))
    found = verifying.verify(job_of(answered))
    assert found
    assert found.why == "quote 1: what it says does not match its fingerprint"
    assert job_of(answered).entries.get(seq=found.seq).kind == "quote_sent"


def test_a_quote_that_was_given_another_fingerprint_is_named(answered: Decision) -> None:
    Quote.objects.filter(pk=answered.quote_id).update(shown="{}", shown_hash=digest("{}"))
    assert first_break(answered) == "quote 1: its fingerprint is not the one in the journal"


@pytest.mark.parametrize("kind", ["page", "answer"])
def test_a_changed_byte_of_a_paper_is_named(answered: Decision, kind: str) -> None:
    paper = Paper.objects.get(decision=answered, kind=kind)
    body = bytearray(bytes(paper.body))
    body[20] ^= 1
    tamper("jobs_paper", "body = %s", paper.pk, bytes(body))
    assert first_break(answered) == f"the {kind} paper {paper.sha256[:16]} does not match its fingerprint"


def test_a_page_that_was_given_another_fingerprint_is_named(answered: Decision) -> None:
    page = Paper.objects.get(decision=answered, kind="page")
    tamper("jobs_paper", "sha256 = %s", page.pk, flipped(page.sha256))
    assert first_break(answered) == "quote 1: the page as it stood is not the one in the record"


def test_a_page_that_is_gone_is_named(answered: Decision) -> None:
    page = Paper.objects.get(decision=answered, kind="page")
    tamper("jobs_paper", "kind = 'warranty'", page.pk)
    assert first_break(answered) == "quote 1: the page as it stood is not there"


def test_a_paper_that_was_given_another_fingerprint_is_named(answered: Decision) -> None:
    paper = Paper.objects.get(decision=answered, kind="answer")
    tamper("jobs_paper", "sha256 = %s", paper.pk, flipped(paper.sha256))
    assert first_break(answered) == f"the answer paper {paper.sha256[:16]} is not there"


def test_a_paper_that_was_slipped_in_is_named(cast: Cast) -> None:
    decision = cast.job_at(Stage.AGREED).quotes.get().decision
    paper = keep_paper(decision.quote.job, Paper.Kind.ANSWER, b"%PDF-1.7 false", decision)
    assert first_break(decision) == f"the journal knows nothing of the answer paper {paper.sha256[:16]}"


@pytest.mark.parametrize(
    ("column", "why"),
    [
        ("address", "the address is not the one in the record"),
        ("agent", "the browser is not the one in the record"),
        ("salt", "the address is not the one in the record"),
    ],
)
def test_a_changed_trace_is_named(answered: Decision, column: str, why: str) -> None:
    Trace.objects.filter(decision=answered).update(**{column: "192.0.2.8"})
    assert first_break(answered) == f"quote 1: {why}"


def test_a_trace_that_points_to_another_link_is_named(answered: Decision) -> None:
    other = find_link(issue_link(answered.quote.job, made_for="orla@example.org"))
    Trace.objects.filter(decision=answered).update(link=other)
    assert first_break(answered) == "quote 1: the private link is not the one in the record"


def test_an_answer_that_is_gone_is_named(answered: Decision) -> None:
    other = answered.quote.job.quotes.create(n=9, currency="GBP", tax_mode="none")
    tamper("jobs_decision", "quote_id = %s", answered.pk, other.pk)
    assert first_break(answered) == "quote 1: its answer is not there"


def test_sums_that_the_choices_do_not_come_to_are_named_even_where_all_hashes_fit(
    cast: Cast, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A fault of our own, not a forger's: the record itself says another sum."""
    told = recording._record
    monkeypatch.setattr(
        recording, "_record", lambda *args: told(*args) | {"expected": told(*args)["expected"] + 1}
    )
    decision = cast.job_at(Stage.AGREED).quotes.get().decision
    assert first_break(decision) == "quote 1: “expected” is 9701, and the choices add up to 9700"


def test_an_answer_from_before_there_were_records_is_checked_as_far_as_it_goes(
    cast: Cast, monkeypatch: pytest.MonkeyPatch
) -> None:
    told = recording.told

    def as_it_was(decision: Decision) -> dict[str, object]:
        unguard_evidence()
        Decision.objects.filter(pk=decision.pk).update(record="", record_hash="", lowest=None, highest=None)
        guard_evidence()
        return {
            key: value for key, value in told(decision).items() if key not in ("record", "highest", "ceiling")
        }

    monkeypatch.setattr(deciding, "told", as_it_was)
    decision = cast.job_at(Stage.AGREED).quotes.get().decision
    assert decision.record == ""
    assert first_break(decision) == ""
    tamper("jobs_decision", "tax = tax + 1", decision.pk)
    assert first_break(decision) == "quote 1: “tax” is 1618, and the choices add up to 1617"


def test_after_its_day_where_an_answer_came_from_is_blank_and_the_evidence_still_whole(
    answered: Decision,
) -> None:
    day = Trace.objects.get(decision=answered).erase_after
    assert erase_traces(day) == 0
    assert erase_traces(day + timedelta(days=1)) == 1
    trace = Trace.objects.get(decision=answered)
    assert (trace.address, trace.agent, trace.salt, trace.link) == ("", "", "", None)
    assert first_break(answered) == ""


def test_what_is_blank_already_is_not_touched_again(answered: Decision) -> None:
    later = timezone.localdate() + timedelta(days=900)
    assert [erase_traces(later), erase_traces(later)] == [1, 0]


def test_the_command_says_how_much_is_whole(answered: Decision, capsys: pytest.CaptureFixture[str]) -> None:
    call_command("verify_journal")
    assert "1 answers and 2 papers" in capsys.readouterr().out


def test_the_command_names_the_first_break_and_fails(
    answered: Decision, capsys: pytest.CaptureFixture[str]
) -> None:
    tamper("jobs_decision", "record = %s", answered.pk, flipped(answered.record, 12))
    with pytest.raises(CommandError):
        call_command("verify_journal")
    assert "quote 1: the record does not match its fingerprint" in capsys.readouterr().err
