"""What letters say in a sentence."""

from itertools import product

import pytest

from jobs.actions.linking import issue_link
from jobs.models import Item, Workshop
from notifications import links, short
from notifications.gsm import is_inside, parts
from notifications.models import Letter
from tests.notifications.scenes import booked


@pytest.fixture
def letter(cast, settings) -> Letter:
    """The letter that says how to send a camera in."""
    settings.PUBLIC_BASE_URL = "https://repairs.example.org"
    return booked(cast)


def told(letter: Letter, way: str = "text") -> Letter:
    """The same letter by another way."""
    letter.channel = way
    short.write(letter)
    return letter


def as_sent(letter: Letter) -> str:
    return short.with_key(letter, short.A_KEY)


def test_a_text_names_the_house_and_the_camera_and_ends_with_the_link(letter):
    words, link = told(letter).text.split("\n")
    assert words.startswith("Tidewater Camera Works. Your Corvane Skerry: how to send it to us.")
    assert link == f"https://repairs.example.org/open/{links.key_place(letter.uid)}"


def test_every_letter_can_be_told_in_one_message_without_anybodys_data(every, settings):
    settings.PUBLIC_BASE_URL = "https://repairs.example.org"
    theirs = [letter for letter in every.values() if not letter.is_to_the_workshop]
    for letter, language in product(theirs, ("en-gb", "de")):
        letter.language = language
        text = as_sent(told(letter))
        assert (letter.kind, parts(text), is_inside(text)) == (letter.kind, 1, True), text
        for secret in (letter.job.shown_ref, "Fennimore", "orla@example.org"):
            assert secret not in text


def test_how_to_end_them_is_said_where_there_is_room(letter):
    Workshop.objects.update(name="Tidewater")
    assert "To stop: see your page." in told(letter).text
    Workshop.objects.update(name="The Tidewater and Saltmere Camera Works")
    assert "To stop" not in told(letter).text


def test_a_long_name_of_a_camera_gives_way_before_a_second_message_is_paid(letter):
    Item.objects.filter(pk=letter.job.item_id).update(
        model="Skerry Number Three With The Folding Finder, Black"
    )
    letter.job.item.refresh_from_db()
    assert "Your repair: how to send it to us." in told(letter).text
    assert parts(as_sent(letter)) == 1


def test_what_cannot_be_said_in_one_message_is_said_in_two(letter):
    Workshop.objects.update(
        name="The Tidewater and Saltmere and Outer Skerries Mechanical Camera and Lens Works"
    )
    assert "Your Corvane Skerry: how to send it to us." in told(letter).text
    assert parts(as_sent(letter)) == 2


def test_signs_that_would_make_it_dear_are_written_plainly(letter):
    Workshop.objects.update(name="“Tidewater” – Camera Works")
    assert told(letter).text.startswith('"Tidewater" - Camera Works. Your')
    assert is_inside(letter.text)


def test_a_notice_says_that_there_is_news_and_no_more(letter):
    assert told(letter, "push").text == "There is news about your repair."
    assert (letter.html, letter.subject) == (
        "",
        f"Your Corvane Skerry: how to send it to us ({letter.job.shown_ref})",
    )


def test_a_key_is_reckoned_as_long_as_it_is(letter):
    assert len(issue_link(letter.job)) == len(short.A_KEY)
