"""The versions of an explanation, what each changed, and the way back."""

import pytest
from django.test import Client
from django.urls import reverse

from jobs import collection, library
from jobs.actions.explaining import back_to_shipped, put_in_use, save_draft
from jobs.models import ExplanationVersion
from tests.cast import Cast
from tests.own_text import COUNTER, OWN, own_text, text
from tests.portal.writing.conftest import page_of, to

pytestmark = pytest.mark.django_db


@pytest.fixture
def two(cast: Cast) -> None:
    """Version 1 in use, version 2 a draft on top of it."""
    put_in_use(
        COUNTER,
        text(short="It was put back wrongly.", bench_words=["counter"]),
        0,
        cast.technician,
        "Shorter",
    )
    save_draft(
        COUNTER,
        text(short="It was put back badly.", bench_words=["counter"]),
        1,
        cast.owner,
        "Kinder <b>words</b>",
    )


def test_the_history_says_who_when_and_what(two: None, cast: Cast, jory: Client) -> None:
    page = page_of(jory.get(to("library_history")))
    for told in ("Version 1", "Version 2", cast.owner.name, cast.technician.name, "Shorter", "In use now."):
        assert told in page
    assert page.index("Version 2") < page.index("Version 1")


def test_a_note_is_never_markup(two: None, jory: Client) -> None:
    page = page_of(jory.get(to("library_history")))
    assert "Kinder &lt;b&gt;words&lt;/b&gt;" in page


def test_a_version_shows_what_it_changed_against_the_one_before(two: None, jory: Client) -> None:
    page = page_of(jory.get(to("library_version", COUNTER, 2)))
    assert "<del>wrongly.</del><ins>badly.</ins>" in page
    assert "What differs from version 1" in page


def test_a_version_shows_what_it_changed_against_the_shipped_text(two: None, jory: Client) -> None:
    page = page_of(jory.get(to("library_version", COUNTER, 2) + "?against=shipped"))
    assert "What differs from the shipped text" in page
    assert "{cover.also}" in page


def test_the_first_version_is_compared_with_the_shipped_text(two: None, jory: Client) -> None:
    assert "What differs from the shipped text" in page_of(jory.get(to("library_version", COUNTER, 1)))


def test_the_first_version_of_our_own_is_all_new(cast: Cast, jory: Client) -> None:
    save_draft(OWN, own_text(), 0, cast.technician)
    page = page_of(jory.get(to("library_version", OWN, 1)))
    assert "all of it is new" in page
    assert "<ins>Why does the counter skip a number?</ins>" in page


def test_a_version_that_does_not_exist_is_not_found(two: None, jory: Client) -> None:
    assert jory.get(to("library_version", COUNTER, 3)).status_code == 404


def test_going_back_is_asked_first_and_a_look_changes_nothing(two: None, jory: Client) -> None:
    assert "Use the shipped text" in page_of(jory.get(to("library_back")))
    assert ExplanationVersion.objects.count() == 2


def test_going_back_uses_the_shipped_text(two: None, jory: Client) -> None:
    answer = jory.post(to("library_back"), {"base": "2", "note": "Theirs is better"})
    assert (answer.status_code, answer.url) == (303, to("library_history"))
    assert collection.get(COUNTER) == library.get(COUNTER)


def test_going_back_on_an_older_look_is_refused(two: None, cast: Cast, jory: Client) -> None:
    answer = jory.post(to("library_back"), {"base": "1"})
    assert answer.status_code == 422
    assert cast.owner.name in page_of(answer)
    assert collection.get(COUNTER) != library.get(COUNTER)


def test_after_going_back_the_history_says_so(two: None, cast: Cast, jory: Client) -> None:
    back_to_shipped(COUNTER, 2, cast.technician)
    page = page_of(jory.get(to("library_history")))
    assert "Back to the shipped text" in page
    assert page.index("The shipped text</b>") < page.index("In use now.")


def test_our_own_entry_is_taken_out_of_use(cast: Cast, jory: Client, nobody: Client) -> None:
    put_in_use(OWN, own_text(), 0, cast.technician)
    assert "Take it out of use" in page_of(jory.get(to("library_back", OWN)))
    jory.post(to("library_back", OWN), {"base": "1"})
    assert nobody.get(to("library_entry", OWN)).status_code == 404
    assert "Why does the counter skip" not in page_of(nobody.get(reverse("library")))
