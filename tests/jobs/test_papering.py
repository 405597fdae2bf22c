"""The copy of an answer: made once whoever asks, kept with its bytes, and made of what was shown and recorded."""

import json
from hashlib import sha256
from io import BytesIO

import pytest
from django.utils import timezone
from pypdf import PdfReader

from jobs import verifying
from jobs.actions import deciding
from jobs.actions.deciding import Answer, decide
from jobs.actions.papering import answer_paper
from jobs.actions.quote import LineDraft, draft_quote, put_line, send_quote
from jobs.actions.quote_lines import OutcomeDraft
from jobs.actor import Actor
from jobs.answer_paper import chance_words, file_name, pdf_of_offer, told_of_answer, told_of_offer
from jobs.evidence import reckon_answer, sheet
from jobs.models import Decision, Job, Line, Paper, Quote, Workshop
from jobs.words import Stage
from tests.cast import Cast
from tests.jobs.actions.test_races import at_once
from tests.jobs.papers.reading import bare, text
from tests.once import made_once

TELEPHONE = Decision.Way.TELEPHONE


@pytest.fixture
def decision(cast: Cast) -> Decision:
    return made_once(cast.job_at, Stage.AGREED).quotes.get().decision


def answer_by_telephone(cast: Cast, job: Job) -> Decision:
    sent = job.quotes.get()
    answer = Answer(
        sent.shown_hash, [sent.lines.all()[0].pk], "Orla Fennimore", "She said yes.", TELEPHONE, "Jory Pell"
    )
    outcome = decide(sent, answer, cast.technician)
    assert isinstance(outcome, deciding.Decided)
    return outcome.decision


def test_it_is_made_once_and_kept_with_its_bytes(decision: Decision) -> None:
    paper = answer_paper(decision)
    assert answer_paper(decision).pk == paper.pk
    body = bytes(Paper.objects.get(pk=paper.pk).body)
    assert sha256(body).hexdigest() == paper.sha256
    assert body.startswith(b"%PDF-")


def test_the_journal_names_it_and_nothing_else_changes(decision: Decision) -> None:
    job = Job.objects.get(pk=decision.quote.job_id)
    before = (job.stage, job.holder, job.holder_since, job.stage_since)
    paper = answer_paper(decision)
    job.refresh_from_db()
    assert (job.stage, job.holder, job.holder_since, job.stage_since) == before
    entry = job.entries.last()
    assert entry
    assert (entry.kind, entry.data) == (
        "paper",
        {"kind": "answer", "sha256": paper.sha256, "decision": 1},
    )
    assert verifying.verify(job) is None


@pytest.mark.django_db(transaction=True)
def test_of_four_that_want_it_at_once_one_makes_it_and_all_get_it(cast: Cast) -> None:
    decision = cast.job_at(Stage.AGREED).quotes.get().decision
    papers = at_once(*[lambda: answer_paper(Decision.objects.get(pk=decision.pk))] * 4)
    assert {paper.pk for paper in papers} == {Paper.objects.get().pk}
    job = Job.objects.get(pk=decision.quote.job_id)
    assert job.entries.filter(kind="paper").count() == 1
    assert verifying.verify(job) is None


def test_what_was_hashed_is_in_the_file_byte_for_byte(decision: Decision) -> None:
    attached = PdfReader(BytesIO(bytes(answer_paper(decision).body))).attachments
    assert {name: sha256(content[0]).hexdigest() for name, content in attached.items()} == {
        "shown.json": decision.shown_hash,
        "record.json": decision.record_hash,
    }


def test_it_prints_every_fingerprint_and_where_to_check_it(decision: Decision) -> None:
    said = bare(bytes(answer_paper(decision).body))
    entry = decision.quote.job.entries.get(kind="decided")
    for fingerprint in (decision.shown_hash, decision.record_hash, entry.hash):
        assert fingerprint in said
    assert "/check/" in said


def test_it_says_what_was_shown_even_where_the_rows_say_something_else_by_now(decision: Decision) -> None:
    Line.objects.filter(quote=decision.quote).update(title="Something else", price=1)
    said = text(bytes(answer_paper(decision).body))
    assert "Free the winding gears" in said
    assert "Something else" not in said
    assert "£97" in said


def test_the_sum_in_it_is_that_of_the_record(decision: Decision) -> None:
    told = told_of_answer(decision, timezone.now())
    record = json.loads(decision.record)
    assert told["total"] == {name: record[name] for name in ("net", "tax", "gross")}
    assert [line["yes"] for line in told["lines"]] == [True, False, None]


def test_an_answer_by_telephone_is_called_that_and_bears_no_signature(cast: Cast) -> None:
    decision = answer_by_telephone(cast, cast.job_at(Stage.QUOTED))
    said = text(bytes(answer_paper(decision).body))
    assert "Agreed by telephone; noted by Jory Pell." in said
    assert "Nobody signed it." in said
    assert "What was signed" not in said


def test_an_offer_is_set_anew_each_time_and_nothing_of_it_is_kept(cast: Cast) -> None:
    sent = cast.job_at(Stage.QUOTED).quotes.get()
    said = text(pdf_of_offer(sent, timezone.now(), lambda: ["You pay when it is done."]))
    assert "An offer, not yet answered" in said
    assert "You pay when it is done." in said
    assert not Paper.objects.exists()


def test_an_offer_comes_to_what_the_page_begins_with(cast: Cast) -> None:
    told = told_of_offer(cast.job_at(Stage.QUOTED).quotes.get(), timezone.now())
    assert told["total"]["gross"] == 9700
    assert told["decision"] is None


@pytest.mark.parametrize("rude", ['Tide/water\r\n"Works"', "Tide\\water: <Works>|?*"])
def test_a_files_name_has_no_sign_that_a_name_or_a_header_cannot_have(cast: Cast, rude: str) -> None:
    Workshop.objects.update(name=rude)
    sent = cast.job_at(Stage.QUOTED).quotes.get()
    name = file_name(sent)
    assert name.isprintable()
    assert not set(name) & set('/\\:*?"<>|')
    assert name.endswith(f"{sent.job.shown_ref} quote 1.pdf")


def try_first(cast: Cast) -> Quote:
    job = cast.job_at(Stage.EXAMINING)
    draft = draft_quote(job)
    part = LineDraft("work", "needed", "Fit another lens group", 7800)
    ways = [OutcomeDraft("It wipes off", 7), OutcomeDraft("The glass has gone", 3, follow_ons=[part])]
    put_line(draft, LineDraft("work", "needed", "Clean the haze", 3800, outcomes=ways))
    return send_quote(draft, cast.technician)


def test_a_ceiling_is_printed_with_how_likely_it_holds(cast: Cast) -> None:
    sent = try_first(cast)
    yes = [line.pk for line in sent.lines.all()]
    answer = Answer(sent.shown_hash, yes, "Orla Fennimore", "I agree.", ceiling=5000)
    outcome = decide(sent, answer, Actor.customer(sent.job.customer))
    assert isinstance(outcome, deciding.Decided)
    said = text(bytes(answer_paper(outcome.decision).body))
    assert "about 7 in 10" in said
    assert "Fit another lens group" in said


def test_no_chance_is_told_where_it_is_certain(cast: Cast) -> None:
    sent = try_first(cast)
    sums = reckon_answer(sent, sheet(sent), [line.pk for line in sent.lines.all()])
    assert chance_words(sums, None) == chance_words(sums, sums.highest) == ""
    assert chance_words(sums, sums.highest - 1) == "about 7 in 10"
