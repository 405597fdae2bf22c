"""A child process that is bounded in memory and time. Every child here is a real one."""

import subprocess
import sys
from pathlib import Path

import pytest

from jobs.bounded import ROOT, ask

READER = "json.tool"  # of Python itself: prints a file of JSON, or nothing


@pytest.fixture
def file(tmp_path: Path) -> Path:
    file = tmp_path / "file"
    file.write_text('{"width": 400}')
    return file


def python(code: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=False)


def test_what_a_child_says_is_handed_on(file: Path) -> None:
    assert ask(READER, "--sort-keys", file, seconds=20) == {"width": 400}


def test_a_child_that_ends_without_a_word_has_said_nothing(file: Path) -> None:
    file.write_text("rubbish")
    assert ask(READER, file, seconds=20) is None


def test_a_child_that_takes_too_long_is_ended(file: Path) -> None:
    assert ask(READER, file, seconds=0.001) is None


def test_a_bounded_process_gets_no_more_memory() -> None:
    done = python("from jobs.bounded import bound; bound(512 * 1024**2, 20); bytearray(1024**3)")
    assert done.stderr.endswith("MemoryError\n")


def test_a_bounded_process_that_spins_is_ended() -> None:
    done = python("from jobs.bounded import bound; bound(512 * 1024**2, 1)\nwhile True: pass")
    assert done.returncode < 0


@pytest.mark.parametrize("child", ["jobs.darkroom.develop", "notifications.replies.child"])
def test_a_child_starts_without_django(child: str) -> None:
    done = python(f"import sys, {child}; sys.exit('django' in sys.modules)")
    assert done.returncode == 0, done.stderr
