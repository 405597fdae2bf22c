"""Loading: a file that is not right is left out and logged; the site goes on."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from jobs.library import get, load

ENTRIES = load.FOLDER


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """A library of our own for one test."""
    for key in ("rewind/button-will-not-stay-in", "lens/haze-inside"):
        copy = tmp_path / f"{key}.md"
        copy.parent.mkdir()
        copy.write_text((ENTRIES / f"{key}.md").read_text(encoding="utf-8"), encoding="utf-8")
    monkeypatch.setattr(load, "FOLDER", tmp_path)
    load.entries.cache_clear()
    yield tmp_path
    load.entries.cache_clear()


def test_a_broken_entry_is_left_out_and_the_rest_stays(
    folder: Path, caplog: pytest.LogCaptureFixture
) -> None:
    (folder / "lens" / "haze-inside.md").write_text("+++\ntitle = 3\n+++\n")
    assert list(load.entries()) == ["rewind/button-will-not-stay-in"]
    assert "haze-inside.md:2" in caplog.text


def test_entries_are_read_once(folder: Path) -> None:
    first = get("lens/haze-inside")
    (folder / "lens" / "haze-inside.md").unlink()
    assert get("lens/haze-inside") is first


def test_a_key_that_does_not_exist_is_an_error(folder: Path) -> None:
    with pytest.raises(KeyError):
        get("lens/no-such-thing")
