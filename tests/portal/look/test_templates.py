"""What keeps the policy strict and the pages small: no inline code or style, and a budget in bytes."""

import gzip
import json
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[3]
STATIC = ROOT / "portal/static/portal"
PAGES = [
    path
    for path in sorted((ROOT / "templates").rglob("*"))
    if path.is_file() and "letters" not in path.relative_to(ROOT / "templates").parts
]
FORBIDDEN = {
    "inline style": re.compile(r"\sstyle\s*="),
    "style element": re.compile(r"<style\b"),
    "inline handler": re.compile(r"\son[a-z]+\s*="),
    "inline script": re.compile(r"<script(?![^>]*\ssrc=)"),
    "script address": re.compile(r"javascript:"),
    "htmx evaluation": re.compile(r"hx-on|hx-vals=.?js:"),
}


def offences() -> Iterator[str]:
    for path in PAGES:
        text = path.read_text()
        for what, pattern in FORBIDDEN.items():
            if pattern.search(text):
                yield f"{path.relative_to(ROOT)}: {what}"


def test_no_page_holds_inline_code_or_style() -> None:
    assert list(offences()) == []


@pytest.mark.parametrize(
    "bad",
    [
        '<p style="color:red">',
        "<style>p{}</style>",
        '<a href="#" onclick="go()">',
        "<script>go()</script>",
        '<a href="javascript:go()">',
        '<b hx-on:click="go()">',
    ],
)
def test_the_patterns_find_what_they_forbid(bad: str) -> None:
    assert any(pattern.search(bad) for pattern in FORBIDDEN.values())


def test_the_patterns_let_a_script_file_pass() -> None:
    fine = '<script src="/static/portal/portal.js" defer></script><p class="one" data-next>'
    assert not any(pattern.search(fine) for pattern in FORBIDDEN.values())


def htmx_settings() -> dict[str, object]:
    html = (ROOT / "templates/parts/scripts.html").read_text()
    return json.loads(re.search(r"name=\"htmx-config\"\s+content='([^']+)'", html)[1])


def test_htmx_evaluates_nothing_injects_nothing_and_keeps_nothing() -> None:
    """htmx 2 documentation, "Configuring htmx", "Security" and "History"."""
    off = {"includeIndicatorStyles", "allowEval", "allowScriptTags", "historyRestoreAsHxRequest"}
    settings = htmx_settings()
    assert {name for name in off if settings[name] is not False} == set()
    assert settings["historyCacheSize"] == 0
    assert settings["selfRequestsOnly"] is True


@pytest.mark.parametrize(
    ("status", "swaps"),
    [("200", True), ("422", True), ("204", False), ("304", False), ("403", False), ("500", False)],
)
def test_htmx_shows_a_form_that_came_back_and_no_other_failure(status: str, swaps: bool) -> None:
    """The first rule whose pattern fits decides: htmx 2 documentation, "Response Handling"."""
    rules = htmx_settings()["responseHandling"]
    assert next(rule["swap"] for rule in rules if re.search(rule["code"], status)) is swaps


def weight(name: str) -> int:
    return len(gzip.compress((STATIC / name).read_bytes(), 9, mtime=0))


def test_the_customers_style_is_at_most_8500_bytes_compressed() -> None:
    """First flight of 14,600 bytes (RFC 6928, section 2) less the page's own HTML."""
    assert weight("benchletter.css") <= 8_500


def test_the_staff_style_is_small_too() -> None:
    assert (
        weight("benchletter-staff.css") <= 7_000
    )  # on top of the customers' style, which is what a first view counts


def test_our_script_is_short() -> None:
    assert len((STATIC / "portal.js").read_text().splitlines()) < 150


def test_the_customers_style_names_no_other_hue() -> None:
    """Greys, warm blacks and the plum only: every colour is a token, or black or white on a photograph."""
    after_tokens = (STATIC / "benchletter.css").read_text().split("/* 2. Elements */")[1]
    used = set(re.findall(r"#[0-9a-f]{3,6}\b", after_tokens))
    assert used <= {"#000", "#fff", "#1e1b18", "#333", "#999", "#555"}
