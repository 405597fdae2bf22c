"""What a customer was shown is a snapshot: it comes back the same and can be proved unchanged."""

import json
from dataclasses import replace

import pytest
import rfc8785

from jobs.library import Shown, entries, get


@pytest.mark.parametrize("key", sorted(entries()))
def test_a_snapshot_comes_back_the_same_after_json(key: str) -> None:
    shown = get(key).sample()
    kept = json.loads(json.dumps(shown.as_dict()))
    assert Shown.from_dict(kept) == shown
    assert Shown.from_dict(kept).digest == shown.digest


def test_a_snapshot_can_be_written_canonically() -> None:
    assert rfc8785.dumps(get("meter/selenium-cell-tired").sample().as_dict())


def test_other_facts_give_another_digest() -> None:
    entry = get("counter/stops-at-one-number")
    assert entry.fill({"frame": 22, "cover": "on"}).digest != entry.fill({"frame": 23, "cover": "on"}).digest


def test_one_changed_word_gives_another_digest() -> None:
    shown = get("lens/haze-inside").sample()
    assert replace(shown, short=shown.short + " Indeed.").digest != shown.digest


def test_what_comes_back_is_safe_to_put_on_a_page() -> None:
    shown = Shown.from_dict(get("lens/haze-inside").sample().as_dict())
    assert all(hasattr(section.html, "__html__") for section in shown.sections)


def test_cautions_stand_before_the_owners_steps() -> None:
    keys = [key for key, _, _ in get("rewind/button-will-not-stay-in").sample().sections]
    assert keys.index("cautions") < keys.index("what_you_can_do")


def test_try_first_work_says_how_it_may_turn_out() -> None:
    shown = get("lens/haze-inside").sample()
    outcomes = shown.section("outcomes")
    assert outcomes is not None
    assert outcomes.html.count("<li>") == len(get("lens/haze-inside").outcomes) == 3


def test_the_drawing_comes_with_what_its_marks_mean() -> None:
    picture = get("counter/stops-at-one-number").sample().picture
    assert picture is not None
    assert '<b class="n">2</b> the end stop on the counter’s edge' in picture.html


def test_an_entry_whose_drawing_is_broken_is_shown_without_it(monkeypatch, caplog) -> None:
    """A broken file stops the check, not the site."""
    from jobs.library import draw
    from jobs.library.errors import LibraryError, Problem

    def broken(name: str, **params: str | int) -> str:
        raise LibraryError([Problem(draw.FOLDER / "lens-section.svg", 3, "description: too long")])

    monkeypatch.setattr(draw, "drawing", broken)
    shown = get("lens/haze-inside").sample()
    assert shown.picture is None
    assert shown.section("happening")
    assert "lens-section.svg:3" in caplog.text
