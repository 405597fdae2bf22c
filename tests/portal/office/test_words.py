"""The owner's own words in letters: where they are written, where they stand, and where they never do."""

import pytest
from django.test import Client

from notifications import own_words, relay
from notifications.models import Letter, OwnWords
from tests.cast import Cast
from tests.portal.conftest import Visitor

pytestmark = pytest.mark.django_db
READY = "/office/settings/words/ready/en-gb/"
WORDS = "Ring & knock: <b>Hester</b> is in the yard.\nWe close at five."


@pytest.fixture
def owner(cast: Cast, as_staff: Visitor) -> Client:
    return as_staff(cast.owner_user)


def letter(cast: Cast, kind: str = "ready") -> Letter:
    cast.job_at("ready")
    relay.run()
    return Letter.objects.get(kind=kind)


def test_they_stand_before_the_button_in_both_forms_and_are_never_markup(owner: Client, cast: Cast) -> None:
    assert owner.post(READY, {"text": WORDS}).status_code == 303
    written = letter(cast)
    assert "Ring & knock: <b>Hester</b> is in the yard.\n\nWe close at five." in written.text
    assert written.text.index("We close at five.") < written.text.index("Open your page")
    assert "Ring &amp; knock: &lt;b&gt;Hester&lt;/b&gt; is in the yard.<br>We close at five." in written.html


def test_other_kinds_and_other_languages_do_not_have_them(owner: Client, cast: Cast) -> None:
    owner.post("/office/settings/words/ready/de/", {"text": "Bitte klingeln."})
    owner.post(READY, {"text": WORDS})
    assert "klingeln" not in letter(cast).text
    assert "Hester</b>" not in Letter.objects.get(kind="quote_sent").html


def test_empty_takes_them_away(owner: Client) -> None:
    owner.post(READY, {"text": WORDS})
    owner.post(READY, {"text": "  "})
    assert not OwnWords.objects.exists()


@pytest.mark.parametrize("kind", ["code", "link_asked", "staff_asked", "gathered", "no-such-letter"])
def test_letters_that_take_none_have_no_page(owner: Client, kind: str) -> None:
    assert owner.get(f"/office/settings/words/{kind}/en-gb/").status_code == 404
    assert owner.post(f"/office/settings/words/{kind}/en-gb/", {"text": WORDS}).status_code == 404


def test_a_letter_with_a_code_never_has_them_whatever_the_table_holds(cast: Cast) -> None:
    OwnWords.objects.create(kind="code", language="en-gb", text="Ring this number.")
    assert own_words.words_for("code", "en-gb") == ""


def test_a_language_that_we_do_not_have_has_no_page(owner: Client) -> None:
    assert owner.get("/office/settings/words/ready/xx/").status_code == 404


@pytest.mark.parametrize(
    "text", ["See https://shop.example.org", "www.shop.example.org", "ftp://x", "a" * 1001]
)
def test_what_cannot_stand_in_a_letter_is_refused_and_stays_typed(owner: Client, text: str) -> None:
    answer = owner.post(READY, {"text": text})
    assert answer.status_code == 422
    assert text[:20] in answer.content.decode()
    assert not OwnWords.objects.exists()


def test_the_frame_shows_the_newest_real_letter_with_what_is_typed_and_keeps_nothing(
    owner: Client, cast: Cast
) -> None:
    kept = letter(cast)
    shown = owner.post(READY + "letter/", {"text": WORDS}).content.decode()
    assert "Your Corvane Skerry" in shown
    assert "ready" in shown
    assert "&lt;b&gt;Hester&lt;/b&gt;" in shown
    assert kept.uid.hex not in shown  # its link leads nowhere
    assert not OwnWords.objects.exists()
    kept.refresh_from_db()
    assert "Hester</b>" not in kept.text


def test_the_frame_shows_an_empty_letter_where_none_was_written_yet(owner: Client, cast: Cast) -> None:
    shown = owner.post(READY + "letter/", {"text": WORDS}).content.decode()
    assert "None of this kind has been written yet." in shown
    assert "&lt;b&gt;Hester&lt;/b&gt;" in shown


def test_the_frame_is_shut_in(owner: Client) -> None:
    assert "sandbox" in owner.get(READY + "letter/")["Content-Security-Policy"]


def test_every_kind_of_letter_that_takes_words_says_what_it_is_for(owner: Client) -> None:
    assert set(own_words.kinds()) <= set(own_words.ABOUT)
    page = owner.get("/office/settings/words/").content.decode()
    for kind in own_words.kinds():
        assert f"/office/settings/words/{kind}/en-gb/" in page


def test_each_page_of_words_opens(owner: Client, cast: Cast) -> None:
    letter(cast)
    for kind in own_words.kinds():
        assert owner.get(f"/office/settings/words/{kind}/de/").status_code == 200
        assert owner.get(f"/office/settings/words/{kind}/de/letter/").status_code == 200
