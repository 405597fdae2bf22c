"""Facts never become markup, figures are ringed, and trade words are tied to their meaning once."""

import re
from collections import Counter

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from jobs.library import BadFact, Shown, entries, get, words_of
from jobs.library.prose import to_text

SCREWS = "body/screws-torn-by-earlier-hands"


def _screws(where: str) -> Shown:
    return get(SCREWS).fill({"count": 3, "torn": 60, "where": where})


@pytest.mark.parametrize(
    "typed",
    [
        "<script>alert(1)</script>",
        "<img src=x onerror=alert(1)>",
        "**bold** and _thin_",
        "[a link](http://example.org)",
        "{count} {torn}",
        "&lt;b&gt;",
        "{{ settings.SECRET_KEY }}",
        '" onclick="x',
    ],
)
def test_what_a_person_types_is_read_as_it_was_typed(typed: str) -> None:
    shown = _screws(typed)
    happening = shown.section("happening")
    assert happening is not None
    assert typed in to_text(happening.html)
    assert set(re.findall(r"<(\w+)", happening.html)) <= {"p", "b", "a"}


def test_a_mark_in_a_fact_becomes_a_ringed_figure() -> None:
    happening = _screws("at {mark:2} on the base").section("happening")
    assert happening is not None
    assert 'at <b class="n">2</b> on the base' in happening.html


def test_a_mark_in_the_text_becomes_a_ringed_figure_and_reads_in_brackets() -> None:
    shown = get("rewind/button-will-not-stay-in").fill({"lever_angle": 40})
    assert '<b class="n">1</b>' in shown.sections[0].html
    assert "the winding lever (1) pushes" in shown.plain()


def test_the_first_use_of_a_trade_word_leads_to_its_meaning() -> None:
    shown = get("lens/haze-inside").sample()
    html = "".join(section.html for section in shown.sections)
    linked = re.findall(r'<a class="word" href="#word-([a-z-]+)">', html)
    assert Counter(linked).most_common(1)[0][1] == 1
    assert sorted(linked) == sorted(word.key for word in shown.glossary)


def test_a_longer_word_wins_over_a_shorter_one_inside_it() -> None:
    html = get("leaf_shutter/oil-on-the-blades").sample().sections[0].html
    assert '<a class="word" href="#word-leaf-shutter">leaf shutter</a>' in html


def test_a_page_lists_each_word_once() -> None:
    one, two = get("lens/haze-inside").sample(), get("focus/stiff-focus-ring").sample()
    keys = [word.key for word in words_of(one, two)]
    assert len(keys) == len(set(keys)) < len(one.glossary) + len(two.glossary)


def test_the_steps_stay_numbered_in_plain_text() -> None:
    assert "\n1. Turn the ring only" in get("focus/stiff-focus-ring").sample().plain()


@pytest.mark.parametrize("key", sorted(entries()))
def test_an_entry_holds_no_style_no_script_and_no_open_place(key: str) -> None:
    shown = get(key).sample()
    picture = shown.picture.html if shown.picture else ""
    html = "".join(section.html for section in shown.sections) + picture
    assert not re.search(r"<style|<script|\sstyle=|\son\w+=|javascript:", html)
    assert not re.search(r"[{}]", html)


def test_one_answer_keeps_two_sentences_true() -> None:
    entry = get("counter/stops-at-one-number")
    seen, thought = (entry.fill({"frame": 22, "cover": cover}) for cover in ("off", "on"))
    assert seen.short.startswith("The frame counter was put back")
    assert thought.short.startswith("We think the frame counter was put back")
    assert "We have not taken off the top cover yet" in thought.plain()


@settings(max_examples=150, deadline=None)
@given(st.text(alphabet=st.characters(exclude_categories=("Cs",)), min_size=1, max_size=60))
def test_no_text_at_all_becomes_markup(typed: str) -> None:
    try:
        shown = _screws(f"x{typed}")
    except BadFact:
        return
    html = "".join(section.html for section in shown.sections[:2])
    assert set(re.findall(r"<\s*/?\s*([^\s>]+)", html)) <= {"p", "b", "a"}


def test_a_line_break_in_the_file_stays_a_space_in_plain_text() -> None:
    assert to_text('<p>the spool\n<b class="n">3</b>. If\nit slips</p>') == "the spool (3). If it slips"


def test_our_own_apostrophes_are_true_ones_and_a_persons_are_kept() -> None:
    assert "mirror’s thin layer" in get("finder/milky-viewfinder").sample().plain()
    assert "by the maker's name" in _screws("by the maker's name").plain()
