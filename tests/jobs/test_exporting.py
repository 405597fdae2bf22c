"""What is in exported evidence, and under which names."""

import json
import re
import zipfile
from io import BytesIO
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command

from jobs.actions.papering import answer_paper
from jobs.exporting import export
from jobs.models import Job, Workshop
from jobs.words import Stage
from tests.cast import Cast
from tests.once import made_once
from tests.outside.evidence_scene import answered_with_everything


@pytest.fixture
def job(cast: Cast) -> Job:
    return made_once(answered_with_everything, cast)


def packed(job: Job) -> zipfile.ZipFile:
    held = BytesIO()
    export(job, held)
    return zipfile.ZipFile(held)


def test_everything_about_an_answer_is_in_it(job: Job) -> None:
    names = [re.sub(r"[0-9a-f]{16,}", "#", name) for name in packed(job).namelist()]
    assert names == [
        "README.txt",
        "verify.py",
        "journal.jsonl",
        "quotes/quote-1.shown.json",
        "answers/quote-1.record.json",
        "answers/quote-1.page.html",
        "papers/answer-#.pdf",
        "photographs/#.jpg",
        "SHA256SUMS",
    ]


def test_the_bytes_are_those_that_were_hashed(job: Job) -> None:
    decision, inside = job.quotes.get().decision, packed(job)
    assert inside.read("quotes/quote-1.shown.json").decode() == decision.shown
    assert inside.read("answers/quote-1.record.json").decode() == decision.record
    lines = inside.read("journal.jsonl").decode().splitlines()
    assert lines == list(job.entries.order_by("seq").values_list("body", flat=True))


def test_no_name_inside_is_made_of_what_somebody_wrote(cast: Cast) -> None:
    """A name that leads out of the folder would write over other files when it is unpacked."""
    Workshop.objects.update(name="../../etc/passwd")
    job = cast.job_at(Stage.AGREED, name="../../Orla", maker="..\\..", model="/etc/passwd")
    answer_paper(job.quotes.get().decision)
    for name in packed(job).namelist():
        assert re.fullmatch(r"[A-Za-z0-9][A-Za-z0-9._-]*(/[A-Za-z0-9][A-Za-z0-9._-]*)?", name)
        assert ".." not in name


def test_from_where_an_answer_came_is_not_in_it(job: Job) -> None:
    inside = packed(job)
    everything = b"".join(inside.read(name) for name in inside.namelist())
    assert b"192.0.2.7" not in everything
    assert json.loads(inside.read("answers/quote-1.record.json"))["address"]


def test_a_photograph_whose_file_is_gone_is_left_out(job: Job, settings: object) -> None:
    for file in Path(settings.MEDIA_ROOT).rglob("*.jpg"):  # type: ignore[attr-defined]
        file.unlink()
    assert not [name for name in packed(job).namelist() if name.startswith("photographs/")]


def test_exporting_changes_nothing(job: Job) -> None:
    before = (job.entries.count(), job.papers.count())
    packed(job)
    assert (job.entries.count(), job.papers.count()) == before


def test_the_command_writes_it_and_never_over_a_file(job: Job, tmp_path: Path) -> None:
    target = tmp_path / "evidence.zip"
    call_command("export_evidence", job.shown_ref, target)
    assert zipfile.is_zipfile(target)
    with pytest.raises(CommandError, match="cannot be written"):
        call_command("export_evidence", job.shown_ref, target)
    with pytest.raises(CommandError, match="There is no job"):
        call_command("export_evidence", "0000-000", tmp_path / "other.zip")
