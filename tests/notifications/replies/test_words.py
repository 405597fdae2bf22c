"""What a person wrote, as far as it can be told from what they quote."""

from email import message_from_bytes
from email.message import EmailMessage
from email.policy import compat32

import pytest
from hypothesis import given
from hypothesis import strategies as st

from notifications import links
from notifications.replies import words

QUOTES = {
    "English": "On Tue, 3 Nov 2026 at 10:12, Tidewater <bench@tidewater.example> wrote:\n> Dear Orla,\n> It is here.",
    "German": "Am 3. November 2026 um 10:12 schrieb Tidewater <bench@tidewater.example>:\n\n> Liebe Orla,\n> sie ist da.",
    "French": "Le mar. 3 nov. 2026 à 10:12, Tidewater <bench@tidewater.example> a écrit :\n> Chère Orla,",
    "headed": "From: Tidewater <bench@tidewater.example>\nSent: 3 November 2026\nTo: Orla\nSubject: Your Corvane\n\nDear Orla,",
    "headed in German": "Von: Tidewater <b@tidewater.example>\nGesendet: 3. November 2026\nAn: Orla\nBetreff: Corvane\n\nLiebe Orla,",
    "unheaded": "> Dear Orla,\n> It is here.",
}


@pytest.mark.parametrize("quote", QUOTES.values(), ids=QUOTES)
def test_a_quoted_letter_is_taken_off(quote):
    assert (
        words.own_words(f"Will it last?\n\nAnd the cover?\n\n{quote}\n") == "Will it last?\n\nAnd the cover?"
    )


def test_answers_between_and_below_quoted_lines_are_theirs():
    text = f"See below.\n\n{QUOTES['English']}\nYes please.\n> And the cover?\nNo.\n"
    assert words.own_words(text) == "See below.\n\nYes please.\nNo."


def test_thanks_at_the_beginning_is_no_signature():
    assert (
        words.own_words("Thanks, but leave the leather.\n- one\n- two")
        == "Thanks, but leave the leather.\n- one\n- two"
    )


def test_what_stands_below_the_separator_of_a_signature_is_none_of_it():
    assert words.own_words("Will it last?\n-- \nOrla\n3 Quay Lane") == "Will it last?"


def test_a_reply_of_nothing_but_quotes_is_empty():
    assert words.own_words(QUOTES["English"]) == ""
    assert words.own_words(QUOTES["French"]) == ""


def test_html_becomes_text_and_its_quotes_are_taken_off():
    html = """<html><head><style>p{color:red}</style></head><body><div>Will it &lt;last&gt;?<br>And&nbsp;then?</div>
    <script>alert(1)</script><div class="quote">On Tue, 3 Nov 2026 at 10:12, Tidewater &lt;b@tidewater.example&gt; wrote:<br>
    <blockquote><p>Dear Orla</p><p>It is here.</p></blockquote></div></body></html>"""
    assert words.own_words(words.from_html(html)) == "Will it <last>?\nAnd then?"


def test_plain_text_is_preferred_to_html():
    mail = EmailMessage()
    mail.set_content("plain")
    mail.add_alternative("<p>rich</p>", subtype="html")
    assert words.text_of(message_from_bytes(bytes(mail), policy=compat32)) == "plain"


def test_html_stands_in_for_empty_plain_text():
    mail = EmailMessage()
    mail.set_content("\n")
    mail.add_alternative("<p>rich</p>", subtype="html")
    assert words.text_of(message_from_bytes(bytes(mail), policy=compat32)) == "rich"


def test_lines_that_were_only_broken_to_fit_are_joined():
    raw = b"Content-Type: text/plain; format=flowed\r\n\r\nOne long \r\nsentence.\r\nAnother.\r\n-- \r\nOrla\r\n"
    assert words.text_of(message_from_bytes(raw, policy=compat32)) == "One long sentence.\nAnother.\n--\nOrla"


def test_a_text_file_that_came_along_is_not_the_letter():
    mail = EmailMessage()
    mail.set_content("the letter")
    mail.add_attachment("the file", filename="notes.txt")
    assert words.text_of(message_from_bytes(bytes(mail), policy=compat32)) == "the letter"


def test_an_unknown_character_set_is_read_as_well_as_can_be():
    raw = b"Content-Type: text/plain; charset=nobody-knows\r\n\r\nStra\xc3\x9fe"
    assert words.text_of(message_from_bytes(raw, policy=compat32)) == "Straße"


@given(st.text(max_size=400))
def test_any_text_is_survived_and_nothing_is_added(text):
    own = words.own_words(text)
    assert "\0" not in own
    assert set(own) <= set(words.tidy(text)) | {"\n"}


@given(st.text(max_size=400))
def test_any_html_is_survived(text):
    words.from_html(text)


@pytest.mark.parametrize("page", [links.open_page, links.letters_off])
def test_what_opens_something_in_the_quoted_letter_is_left_out(page):
    mail = EmailMessage()
    mail.set_content(f"Will it last?\n\n> Your page:\n> {page('j_a-Key_of:theirs')}\n> Kind regards\n")
    kept = words.text_of(message_from_bytes(bytes(mail), policy=compat32))
    assert "Will it last?" in kept
    assert "> Kind regards" in kept
    assert "a-Key" not in kept
    assert "theirs" not in kept


def test_the_private_link_behind_a_quoted_button_is_left_out():
    mail, link = EmailMessage(), links.open_page("j_aKey")
    button = f'<a href="{link}">Open your page</a><p>{link}</p>'
    mail.set_content(f"<p>Will it last?</p><blockquote>{button}</blockquote>", subtype="html")
    assert "aKey" not in words.text_of(message_from_bytes(bytes(mail), policy=compat32))
