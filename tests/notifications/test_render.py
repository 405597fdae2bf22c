"""Every kind of letter, in both forms: complete, small, on our own host, and without a key that opens anything."""

import re
from html.parser import HTMLParser
from pathlib import Path

import pytest
from django.conf import settings

from jobs.models import PrivateLink
from notifications import links, message, render
from notifications.models import Letter
from notifications.plan import PLANS
from tests.notifications.scenes import STORY, booked

KINDS = sorted({plan.letter for plans in PLANS.values() for plan in plans})
FOLDER = Path(settings.BASE_DIR) / "templates" / "letters"
URL = re.compile(r"https?://[^\s\"'<>)]+")
CLIPPED_AT = 102_000  # bytes of HTML after which a widely used mail program cuts a letter off (common practice, no source)


class Reader(HTMLParser):
    """Collects what a mail program would fetch or follow."""

    def __init__(self) -> None:
        super().__init__()
        self.hrefs: list[str] = []
        self.srcs: list[str] = []
        self.tags: set[str] = set()

    def handle_starttag(self, tag, attrs):
        self.tags.add(tag)
        given = dict(attrs)
        self.hrefs += [given["href"]] if "href" in given else []
        self.srcs += [given["src"]] if "src" in given else []


def read(html: str) -> Reader:
    reader = Reader()
    reader.feed(html)
    return reader


def test_every_planned_letter_has_its_folder_and_every_folder_its_plan():
    folders = {path.name for path in FOLDER.iterdir() if path.is_dir()} - {"parts"}
    assert folders == set(KINDS)
    for kind in KINDS:
        assert {path.name for path in (FOLDER / kind).iterdir()} == {"subject.txt", "body.txt", "body.html"}


def test_the_scenes_bring_about_every_kind_of_letter(every):
    assert sorted(set(every) - {"gathered"}) == KINDS
    assert not Letter.objects.filter(state="failed").exists()


def test_every_link_is_on_our_own_host(written):
    for letter in written.values():
        for address in URL.findall(letter.text) + read(letter.html).hrefs:
            assert address.startswith(settings.PUBLIC_BASE_URL + "/"), (letter.kind, address)


def test_nothing_is_fetched_from_anywhere(written):
    for letter in written.values():
        reader = read(letter.html)
        assert all(source.startswith("cid:") for source in reader.srcs), letter.kind
        assert not reader.tags & {"script", "link", "iframe", "object", "form", "base"}
        assert "url(" not in letter.html
        assert "@import" not in letter.html


def test_every_letter_has_one_link_to_open_and_says_it_in_full_in_the_plain_text(written):
    for letter in written.values():
        private = [href for href in read(letter.html).hrefs if "letters-off" not in href]
        assert len(private) == 1, letter.kind
        assert private[0] in letter.text


def test_no_letter_comes_near_the_size_at_which_it_is_cut_off(written):
    for letter in written.values():
        assert len(letter.html.encode()) < CLIPPED_AT / 5, letter.kind


def test_no_kept_letter_holds_a_key_that_opens_anything(written):
    for letter in written.values():
        for part in (letter.text, letter.html, letter.subject):
            assert "/open/j_" not in part
            if letter.person:
                assert links.key_place(letter.uid) in letter.text


def test_writing_letters_makes_no_private_links_only_sending_does(every):
    assert PrivateLink.objects.count() == 0
    message.build(every["ready"], "bench@tidewater.example")
    assert PrivateLink.objects.count() == 1


def test_plain_text_is_plain_and_at_most_72_columns_wide(written):
    for letter in written.values():
        assert not re.search(r"</?(p|table|td|div|br|span)\b", letter.text), letter.kind
        assert "&amp;" not in letter.text
        assert "\n\n\n" not in letter.text
        wide = [line for line in letter.text.splitlines() if len(line) > 72 and not line.startswith("http")]
        assert wide == [], letter.kind


def test_no_letter_shows_a_gap_where_something_was_missing(written):
    for letter in written.values():
        for part in (letter.subject, letter.text, letter.html):
            assert "None" not in part
            assert "{{" not in part
            assert "{%" not in part
            assert not re.search(r"\(\)|“”| \.|,,", part), letter.kind


@pytest.mark.parametrize("word", ["unfortunately", "please note", "!"])
def test_no_letter_talks_down_or_shouts(written, word):
    for letter in written.values():
        visible = re.sub(r"<style.*?</style>|<!.*?>", "", letter.html, flags=re.DOTALL)
        assert word not in (letter.subject + letter.text + visible).lower(), letter.kind


def test_what_people_wrote_is_never_markup(written):
    assert "<b>harder</b>" in STORY
    assert "&lt;b&gt;harder&lt;/b&gt; &amp; then" in written["quote_sent"].html
    assert "<i>covering</i>" not in written["staff_asked"].html
    assert "<i>covering</i>" in written["staff_asked"].text


def test_each_letter_carries_its_dark_colours_and_says_that_it_has_them(written):
    for letter in written.values():
        assert '<meta name="color-scheme" content="light dark">' in letter.html
        assert "prefers-color-scheme:dark" in letter.html


def test_each_letter_names_its_language_and_has_a_title(written):
    for letter in written.values():
        assert '<html lang="en-gb">' in letter.html
        assert re.search(r"<title>[^<]+</title>", letter.html)


def test_each_customers_letter_says_the_reference_and_the_item(written):
    for letter in written.values():
        assert letter.job.shown_ref in letter.subject
        assert letter.job.item.name in letter.subject


def test_the_quote_says_its_sums_its_last_day_and_that_opening_agrees_nothing(written):
    text = written["quote_sent"].text
    for words in (
        "£97",
        "£139",
        "All prices include VAT",
        "Opening the link agrees nothing",
        "that day included",
    ):
        assert words in text


def test_the_copy_of_an_answer_holds_the_lines_the_sum_and_both_fingerprints(every):
    letter = every["decided"]
    decision = letter.job.quotes.get(state="answered").decision
    for words in (
        "Free the winding gears",
        "£97",
        "New covering",
        decision.shown_hash,
        letter.entry.hash,
        decision.name,
    ):
        assert words in letter.text
        assert words in letter.html


def test_the_packing_advice_never_asks_anyone_to_open_or_force_anything(cast):
    text = booked(cast).text.lower()
    assert "never force anything" in text
    assert not re.search(r"screwdriver|unscrew|take apart|solvent|clean the", text)


@pytest.mark.parametrize("kind", ["arrived", "finding_posted", "quote_sent", "ready", "gathered"])
def test_the_photograph_that_matters_is_shown_inside(written, kind):
    letter = written[kind]
    assert f"cid:{links.content_id(letter.uid)}" in letter.html
    assert letter.picture


def test_a_letter_without_its_photograph_reads_on_without_a_hole(written):
    letter = written["ready"]
    assert "<img" in letter.html
    assert "<img" not in render.without_image(letter.html)


def test_a_letter_is_dated_in_the_workshops_own_time(cast, time_machine):
    time_machine.move_to("2026-06-30 23:30 +0000", tick=False)
    cast.workshop.time_zone = "Asia/Tokyo"
    cast.workshop.save()
    assert "Wednesday 1 July 2026" in booked(cast).text


def test_whoever_collects_it_may_bring_it_too(cast):
    letter = booked(cast, return_by="collect")
    assert "It is your move: bring us your Corvane" in " ".join(letter.text.split())
    assert "bring us your" in letter.html
