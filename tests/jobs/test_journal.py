import json

import pytest
from django.core.management import CommandError, call_command
from django.db import IntegrityError, connection, transaction

from jobs import journal
from jobs.models import Entry, Job
from jobs.triggers import guard_evidence, unguard_evidence, unguarded
from jobs.words import Stage
from tests.cast import Cast
from tests.once import made_once


@pytest.fixture
def job(cast: Cast) -> Job:
    return made_once(cast.job_at, Stage.QUOTED)


def tamper(statement: str, *values: object) -> None:
    """What somebody with the database in their hands could do: take the triggers off first."""
    unguard_evidence()
    with connection.cursor() as cursor:
        cursor.execute(statement, values)
    guard_evidence()


def test_a_journal_that_nobody_touched_is_whole(job: Job) -> None:
    assert journal.verify(job) is None


def test_each_entry_holds_the_hash_of_the_one_before(job: Job) -> None:
    entries = list(job.entries.order_by("seq"))
    assert [entry.prev for entry in entries] == ["", *(entry.hash for entry in entries[:-1])]


def test_the_text_that_was_hashed_says_all_that_the_columns_say(job: Job) -> None:
    entry = job.entries.get(seq=1)
    body = json.loads(entry.body)
    assert (body["job"], body["seq"], body["kind"]) == (job.ref, 1, "booked")


def test_a_changed_text_is_named(job: Job) -> None:
    tamper(
        "UPDATE jobs_entry SET body = replace(body, 'slack', 'tight') WHERE job_id = %s AND seq = 1", job.pk
    )
    found = journal.verify(job)
    assert found
    assert (found.seq, found.why) == (1, "the text does not match its hash")


def test_a_changed_column_is_named(job: Job) -> None:
    tamper("UPDATE jobs_entry SET by_name = 'Nobody' WHERE job_id = %s AND seq = 2", job.pk)
    found = journal.verify(job)
    assert found
    assert (found.seq, found.why) == (2, "the columns do not match the text")


def test_a_missing_entry_is_named(job: Job) -> None:
    tamper("DELETE FROM jobs_entry WHERE job_id = %s AND seq = 3", job.pk)
    found = journal.verify(job)
    assert found
    assert (found.seq, found.why) == (3, "entry 3 is missing")


def test_a_cut_tail_is_named(job: Job) -> None:
    last = job.last_seq
    tamper("DELETE FROM jobs_entry WHERE job_id = %s AND seq = %s", job.pk, last)
    found = journal.verify(job)
    assert found
    assert found.seq == last


def test_an_entry_written_anew_with_its_own_hash_breaks_the_one_after(job: Job) -> None:
    entry = job.entries.get(seq=2)
    body = entry.body.replace("Jory Pell", "Jory Bell")
    tamper(
        "UPDATE jobs_entry SET body = %s, hash = %s, by_name = 'Jory Bell' WHERE id = %s",
        body,
        journal.digest(body),
        entry.pk,
    )
    found = journal.verify(job)
    assert found
    assert (found.seq, found.why) == (3, "the entry does not follow the one before")


def test_the_command_says_that_all_is_whole(job: Job, capsys: pytest.CaptureFixture[str]) -> None:
    call_command("verify_journal")
    assert "1 journals with" in capsys.readouterr().out


def test_the_command_names_the_first_break_and_fails(job: Job, capsys: pytest.CaptureFixture[str]) -> None:
    tamper("DELETE FROM jobs_entry WHERE job_id = %s AND seq = 3", job.pk)
    with pytest.raises(CommandError):
        call_command("verify_journal")
    assert f"{job.shown_ref} entry 3" in capsys.readouterr().err


@pytest.mark.parametrize("statement", ["UPDATE jobs_entry SET by_name = 'x'", "DELETE FROM jobs_entry"])
def test_the_database_itself_refuses_to_change_an_entry(job: Job, statement: str) -> None:
    with (
        pytest.raises(IntegrityError, match="append-only"),
        transaction.atomic(),
        connection.cursor() as cursor,
    ):
        cursor.execute(statement)


@pytest.mark.parametrize("table", ["jobs_decision", "jobs_choice", "jobs_wording"])
def test_the_database_itself_refuses_to_change_evidence(cast: Cast, table: str) -> None:
    cast.job_at(Stage.AGREED)
    with (
        pytest.raises(IntegrityError, match="append-only"),
        transaction.atomic(),
        connection.cursor() as cursor,
    ):
        cursor.execute(f"DELETE FROM {table}")


def test_every_trigger_is_there_after_migrating(db: None) -> None:
    assert unguarded() == []


def test_a_missing_trigger_is_noticed(db: None) -> None:
    unguard_evidence()
    assert "jobs_entry_no_update" in unguarded()
    guard_evidence()


def test_what_happens_in_a_transaction_that_fails_leaves_no_entry(cast: Cast) -> None:
    job = cast.job_at(Stage.ARRIVED)
    with pytest.raises(RuntimeError), transaction.atomic():
        journal.append(job, journal.Kind.EXAMINING, cast.technician)
        raise RuntimeError
    assert Entry.objects.filter(job=job).count() == 2


def test_a_waker_that_fails_harms_nothing(
    cast: Cast, django_capture_on_commit_callbacks, monkeypatch
) -> None:  # type: ignore[no-untyped-def]
    def fail() -> None:
        raise ConnectionError

    monkeypatch.setattr(journal, "wakers", [fail])
    with django_capture_on_commit_callbacks(execute=True):
        job = cast.book()
    assert job.entries.count() == 1
