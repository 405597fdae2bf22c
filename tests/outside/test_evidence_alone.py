"""Exported evidence, checked by its own script in a bare Python: isolated (-I) and without site packages (-S), far from our code.

Sources: UETA section 12 and ESIGN, 15 U.S.C. 7001(d): a record has to stay reproducible for whoever is entitled to it; FIPS 180-4
for SHA-256, here by Python's own hashlib.
"""

import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

from jobs.actions.papering import answer_paper, warranty_card
from jobs.exporting import export
from jobs.models import Decision
from tests.cast import Cast
from tests.once import made_once
from tests.outside.evidence_scene import answered_with_everything

pytestmark = pytest.mark.django_db


@pytest.fixture
def exported(cast: Cast, tmp_path: Path) -> Path:
    """The zip of a job that was answered on the page."""
    return exported_to(tmp_path / "evidence.zip", cast)


def exported_to(target: Path, cast: Cast, way: Decision.Way = Decision.Way.PAGE) -> Path:
    with target.open("wb") as file:
        export(made_once(answered_with_everything, cast, way), file)
    return target


def unpacked(target: Path) -> Path:
    folder = target.with_suffix("")
    with zipfile.ZipFile(target) as packed:
        packed.extractall(folder)
    return folder


def verified(script: Path, *arguments: Path) -> tuple[int, str]:
    """The script's exit and what it said, with nothing of ours to lean on."""
    command = [sys.executable, "-I", "-S", str(script), *map(str, arguments)]
    done = subprocess.run(command, capture_output=True, cwd="/", env={}, timeout=60, check=False)
    assert done.stderr == b""
    return done.returncode, done.stdout.decode()


def test_unpacked_it_holds(exported: Path) -> None:
    code, said = verified(unpacked(exported) / "verify.py")
    assert (code, said.splitlines()[-1]) == (0, "All of it holds.")


def test_packed_it_holds(exported: Path) -> None:
    code, said = verified(unpacked(exported) / "verify.py", exported)
    assert (code, said.splitlines()[-1]) == (0, "All of it holds.")


def test_a_job_that_is_home_holds_with_the_card_of_its_warranty(cast: Cast, tmp_path: Path) -> None:
    job = cast.home()
    answer_paper(job.quotes.get().decision)
    warranty_card(job.warranty)
    target = tmp_path / "evidence.zip"
    with target.open("wb") as file:
        export(job, file)
    code, said = verified(unpacked(target) / "verify.py")
    assert code == 0, said
    assert "papers/warranty-" in said


def test_it_prints_the_fingerprints_that_stand_in_the_letters(exported: Path) -> None:
    decision = Decision.objects.get()
    _code, said = verified(unpacked(exported) / "verify.py")
    entry = decision.quote.job.entries.get(kind="decided")
    paper = decision.papers.get(kind="answer")
    for fingerprint in (decision.shown_hash, entry.hash, paper.sha256):
        assert fingerprint in said


def test_one_changed_byte_of_any_member_is_found_and_named(exported: Path) -> None:
    folder = unpacked(exported)
    files = [file for file in sorted(folder.rglob("*")) if file.is_file()]
    assert len(files) == 9
    for file in files:
        whole = file.read_bytes()
        changed = bytearray(whole)
        changed[len(whole) // 2] ^= 1
        file.write_bytes(bytes(changed))
        script = folder.parent / "a-good-copy.py"
        with zipfile.ZipFile(exported) as packed:
            script.write_bytes(packed.read("verify.py"))
        code, said = verified(script, folder)
        name = file.relative_to(folder).as_posix()
        assert code == 1, name
        assert "NOT WHOLE" in said
        assert name in said or name == "SHA256SUMS"
        file.write_bytes(whole)


def test_a_file_that_is_gone_or_was_added_is_named(exported: Path) -> None:
    folder = unpacked(exported)
    (folder / "answers" / "more.txt").write_text("I never said that.")
    assert verified(folder / "verify.py") == (1, "NOT WHOLE: answers/more.txt does not belong here.\n")
    (folder / "answers" / "more.txt").unlink()
    (folder / "answers" / "quote-1.record.json").unlink()
    assert verified(folder / "verify.py") == (1, "NOT WHOLE: answers/quote-1.record.json is missing.\n")


def relist(folder: Path) -> None:
    """What a forger would do: write the list of fingerprints anew."""
    import hashlib

    files = [file for file in sorted(folder.rglob("*")) if file.is_file() and file.name != "SHA256SUMS"]
    lines = [
        f"{hashlib.sha256(file.read_bytes()).hexdigest()}  {file.relative_to(folder).as_posix()}\n"
        for file in files
    ]
    (folder / "SHA256SUMS").write_text("".join(lines))


@pytest.mark.parametrize(
    ("name", "old", "new", "why"),
    [
        (
            "quotes/quote-1.shown.json",
            b"8500",
            b"9500",
            "quotes/quote-1.shown.json is not the one that entry 7 names",
        ),
        (
            "answers/quote-1.record.json",
            b"I agree.",
            b"I object",
            "answers/quote-1.record.json is not the one that entry 8 names",
        ),
        ("answers/quote-1.page.html", b"85", b"95", "answers/quote-1.page.html is not the one that"),
        ("journal.jsonl", b"slack", b"tight", "journal: entry 2 does not follow the one before"),
    ],
)
def test_a_forger_who_lists_everything_anew_is_found_by_the_journal(
    exported: Path, name: str, old: bytes, new: bytes, why: str
) -> None:
    folder = unpacked(exported)
    whole = (folder / name).read_bytes()
    assert old in whole
    (folder / name).write_bytes(whole.replace(old, new))
    relist(folder)
    code, said = verified(folder / "verify.py")
    assert code == 1
    assert why.split(" entry ")[0] in said


def test_a_document_that_was_slipped_in_and_listed_is_found(exported: Path) -> None:
    folder = unpacked(exported)
    (folder / "papers" / "answer-0123456789abcdef.pdf").write_bytes(b"%PDF-1.7 false")
    relist(folder)
    code, said = verified(folder / "verify.py")
    assert (code, "is named nowhere in the journal" in said) == (1, True)


def test_an_answer_by_telephone_is_called_that(cast: Cast, tmp_path: Path) -> None:
    target = exported_to(tmp_path / "evidence.zip", cast, Decision.Way.TELEPHONE)
    code, said = verified(unpacked(target) / "verify.py")
    assert code == 0
    assert "Quote 1 was answered BY TELEPHONE (noted by the workshop; nobody signed)" in said
    assert "on the page" not in said


def test_the_script_leans_on_the_standard_library_alone(exported: Path) -> None:
    imported = {
        line.split()[1].split(".")[0]
        for line in (unpacked(exported) / "verify.py").read_text().splitlines()
        if line.startswith(("import ", "from "))
    }
    assert imported <= sys.stdlib_module_names | {"__future__"}


def test_rubbish_is_refused_in_words(exported: Path, tmp_path: Path) -> None:
    rubbish = tmp_path / "rubbish.zip"
    rubbish.write_bytes(b"PK\x03\x04 nothing")
    code, said = verified(unpacked(exported) / "verify.py", rubbish)
    assert code == 1
    assert said.startswith("NOT WHOLE: it cannot be read")
