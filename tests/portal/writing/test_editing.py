"""The editor: a draft with errors is kept, only a clean text is put in use, and what was typed is never lost."""

import re
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from jobs import collection
from jobs.actions.explaining import put_in_use, save_draft
from jobs.library import get
from jobs.models import ExplanationVersion
from tests.cast import Cast
from tests.own_text import COUNTER, OWN, own_text, text
from tests.portal.writing.conftest import Send, page_of, to, typed

pytestmark = pytest.mark.django_db
HTMX = {"HX-Request": "true"}


def beside(page: str, field: str) -> str:
    """What stands as an error beside a field, or ""."""
    found = re.search(rf'id="id_{field}_error">(.*?)</p>', page, re.DOTALL)
    return found.group(1).strip() if found else ""


def test_the_editor_opens_with_the_shipped_text(jory: Client) -> None:
    page = page_of(jory.get(to("library_edit")))
    assert "Why does winding stop at the same number every time?" in page
    assert "+++" not in page


def test_staff_find_the_editor_on_the_entrys_page_and_customers_do_not(jory: Client, nobody: Client) -> None:
    assert to("library_edit") in page_of(jory.get(to("library_entry")))
    assert to("library_edit") not in page_of(nobody.get(to("library_entry")))


def test_putting_in_use_changes_what_everybody_reads(jory: Client, nobody: Client, send: Send) -> None:
    answer = send(jory, "use", short="The wheel was put back wrongly.", note="Shorter")
    assert (answer.status_code, answer.url) == (303, to("library_entry"))
    assert "The wheel was put back wrongly." in page_of(nobody.get(to("library_entry")))
    assert ExplanationVersion.objects.get().note == "Shorter"


def test_the_owner_may_put_in_use_as_well(hester: Client, send: Send) -> None:
    assert send(hester, "use").status_code == 303


def test_a_draft_is_not_what_customers_read(jory: Client, nobody: Client, send: Send) -> None:
    answer = send(jory, "draft", short="Only a thought.")
    assert answer.status_code == 303
    assert "Only a thought." not in page_of(nobody.get(to("library_entry")))
    assert "Only a thought." in page_of(jory.get(to("library_edit")))


def test_a_draft_with_errors_is_kept_and_says_what_is_to_mend(jory: Client, send: Send) -> None:
    answer = send(jory, "draft", minutes_low="soon", happening="")
    page = page_of(jory.get(answer.url))
    assert beside(page, "minutes_low") == "Give a number in figures."
    assert beside(page, "happening") == "This part is needed."
    assert 'value="soon"' in page


def test_a_text_with_errors_is_not_put_in_use_and_is_kept_on_the_page(jory: Client, send: Send) -> None:
    answer = send(jory, "use", notice="Only one line", short="My new sentence.")
    assert answer.status_code == 422
    assert beside(page_of(answer), "notice") == "At least 3."
    assert "My new sentence." in page_of(answer)
    assert not ExplanationVersion.objects.exists()


@pytest.mark.parametrize(
    ("changed", "field", "told"),
    [
        ({"title": ""}, "title", "This is needed."),
        ({"title": "x" * 91}, "title", "No more than 90 letters."),
        ({"happening": "word " * 31 + "end."}, "happening", "A sentence of 32 words"),
        ({"what_you_can_do": "1. Unscrew the top cover."}, "what_you_can_do", "An unsafe verb"),
        ({"what_you_can_do": "Look at it."}, "what_you_can_do", "numbered steps"),
        ({"how_we_know": "We looked at {nothing}."}, "how_we_know", "a field {nothing}"),
        ({"cautions": []}, "what_you_can_do", "Tick “"),
        ({"bench_words": ""}, "bench_words", "Say at least once what the bench calls it."),
        ({"check_ask": "Does it turn?"}, "check_settled", "This is needed."),
        ({"minutes_low": "90", "minutes_likely": "10"}, "minutes_likely", "Minutes must run low, likely, high."),
        ({"notice": "One of them\nno\nAnd a third"}, "notice", "Line 2: At least 3 letters."),
        ({"question-0-low": "40"}, "question-0-low", "Low must be below high."),
        ({"question-0-key": "The Frame"}, "question-0-key", "Only small letters"),
        ({"question-1-example": "perhaps"}, "question-1-example", "not one of its options"),
        ({"question-1-option-0-text": ""}, "question-1-option-0-text", "This is needed."),
        ({"question-0-option-rows": "1", "question-0-option-0-text": "Left"}, "question-0-kind", "does not belong"),
        ({"outcome-0-text": "It runs again.", "outcome-0-weight": "never"}, "outcome-0-weight", "in figures"),
        ({"outcome-0-text": "It runs again.", "outcome-0-weight": "101"}, "outcome-0-weight", "No more than 100."),
        ({"legend": "Only one"}, "drawing", "shows 3 marks, its legend names 1"),
        ({"param_frame": "99"}, "drawing", "cannot be made"),
    ],
)  # fmt: skip
def test_what_is_wrong_stands_beside_its_field(
    jory: Client, send: Send, changed: dict[str, Any], field: str, told: str
) -> None:
    answer = send(jory, "use", **changed)
    assert answer.status_code == 422
    found = {name: beside(page_of(answer), name) for name in (field, "legend", "drawing")}
    assert told.replace("'", "&#x27;") in found[field], (
        found,
        re.findall(r'class="error"[^>]*>([^<]*)', page_of(answer)),
    )


def test_what_is_typed_is_never_markup(jory: Client, nobody: Client, send: Send) -> None:
    nasty = "<b onclick=alert(1)>bold</b> & <script>alert(2)</script>"
    for do in ("preview", "use"):
        page = page_of(
            send(jory, do, happening=f"The wheel sits wrong. {nasty}", how_we_know="{frame} {cover} {mark:1}")
        )
        assert "<b onclick" not in page
        assert "<script>alert" not in page
    assert "&lt;script&gt;" in page_of(nobody.get(to("library_entry")))


def test_the_preview_is_what_the_customer_will_read(jory: Client, nobody: Client, send: Send) -> None:
    preview = page_of(send(jory, "preview", happening="The wheel *sits* wrong at {frame}."))
    send(jory, "use", happening="The wheel *sits* wrong at {frame}.")
    assert "The wheel <em>sits</em> wrong at 22." in preview
    assert told(preview) == told(page_of(nobody.get(to("library_entry"))))


def told(page: str) -> list[str]:
    """The words of the explanation on a page."""
    found = re.search(r'<div class="say">.*?</div>', page, re.DOTALL)
    assert found
    return re.sub(r"<[^>]+>", " ", found.group()).split()


def test_a_preview_saves_nothing(jory: Client, send: Send) -> None:
    send(jory, "preview", short="Only looking.")
    assert not ExplanationVersion.objects.exists()


def test_a_preview_of_something_wrong_says_what_and_shows_what_it_can(jory: Client, send: Send) -> None:
    page = page_of(send(jory, "preview", happening="word " * 31 + "end."))
    assert beside(page, "happening").startswith("A sentence of 32 words")
    assert 'id="preview"' in page


@pytest.mark.parametrize("field", ["title", "notice", "habit", "short", "happening", "check_ask"])
@pytest.mark.parametrize(
    "told", ["{frame} or {nothing}?", "{", "{mark:9}", "+++", "## What is happening", "\x00", "\u202e"]
)
def test_nothing_that_can_be_typed_breaks_the_page(jory: Client, send: Send, field: str, told: str) -> None:
    for do in ("preview", "rows", "use"):
        assert send(jory, do, **{field: f"Some words {told}"}).status_code in (200, 303, 422)
    latest = collection.latest(COUNTER)
    kept = send(jory, "draft", base=latest.n if latest else 0, **{field: f"Some words {told}"})
    assert jory.get(kept.url).status_code == 200


def test_with_htmx_only_the_form_comes_back(jory: Client) -> None:
    answer = jory.post(to("library_edit"), typed() | {"do": "preview"}, headers=HTMX)
    assert page_of(answer).lstrip().startswith("<form")


def test_more_rows_keep_what_was_typed(jory: Client, send: Send) -> None:
    page = page_of(send(jory, "rows", **{"outcome-0-text": "It runs again.", "short": "Mine."}))
    assert re.search(r'name="outcome-0-text"[^>]*>\s*It runs again.<', page)
    assert 'name="outcome-2-text"' in page
    assert "Mine." in page


def test_another_drawing_brings_its_own_settings(jory: Client, send: Send) -> None:
    assert 'name="param_dark"' in page_of(send(jory, "rows", drawing="curtain-gap"))


def test_a_draft_needs_a_title_to_be_found_by(jory: Client, send: Send) -> None:
    answer = send(jory, "draft", title="")
    assert answer.status_code == 422
    assert "Give it a title." in beside(page_of(answer), "title")


def test_the_second_of_two_who_save_is_told_and_loses_nothing(cast: Cast, jory: Client, send: Send) -> None:
    save_draft(COUNTER, text(short="Hester was first."), 0, cast.owner)
    answer = send(jory, "draft", short="Jory came second.", base="0")
    assert answer.status_code == 409
    assert cast.owner.name in page_of(answer)
    assert "Jory came second." in page_of(answer)
    assert ExplanationVersion.objects.count() == 1


def test_after_being_told_the_second_can_save_on_top(cast: Cast, jory: Client, send: Send) -> None:
    save_draft(COUNTER, text(short="Hester was first."), 0, cast.owner)
    told = page_of(send(jory, "draft", short="Jory came second.", base="0"))
    base = re.search(r'name="base" value="(\d+)"', told)
    assert base
    assert send(jory, "draft", short="Jory came second.", base=base.group(1)).status_code == 303
    assert [one.n for one in ExplanationVersion.objects.all()] == [1, 2]


@pytest.mark.parametrize("base", ["", "x", "-1", "99999999999", "²"])
def test_a_base_that_makes_no_sense_is_none(jory: Client, send: Send, base: str) -> None:
    assert send(jory, "draft", base=base).status_code == 303


def test_an_older_version_can_be_written_on(cast: Cast, jory: Client) -> None:
    save_draft(COUNTER, text(short="The first thought."), 0, cast.technician)
    save_draft(COUNTER, text(short="The second thought."), 1, cast.technician)
    page = page_of(jory.get(to("library_edit") + "?version=1"))
    assert "The first thought." in page
    assert 'name="base" value="2"' in page


def test_a_new_explanation_is_begun_written_and_put_in_use(jory: Client, nobody: Client, send: Send) -> None:
    answer = jory.post(reverse("library_new"), {"mechanism": "counter", "title": "Skips a number"})
    assert answer.url == to("library_edit", OWN)
    assert nobody.get(to("library_entry", OWN)).status_code == 404
    assert send(jory, "use", own_text(), OWN, base="1").status_code == 303
    assert "Why does the counter skip a number?" in page_of(nobody.get(reverse("library")))


def test_a_fresh_draft_can_be_opened(jory: Client) -> None:
    answer = jory.post(reverse("library_new"), {"mechanism": "counter", "title": "Skips a number"})
    assert "Skips a number" in page_of(jory.get(answer.url))


def test_a_version_that_cannot_be_read_opens_empty_fields(cast: Cast, jory: Client) -> None:
    save_draft(COUNTER, "nothing like a file", 0, cast.technician)
    assert "cannot be read any more" in page_of(jory.get(to("library_edit")))


def test_an_explanation_that_does_not_exist_has_no_editor(jory: Client) -> None:
    assert jory.get(to("library_edit", "counter/no-such-thing")).status_code == 404
    assert jory.get(to("library_edit", "nothing/no-such-thing")).status_code == 404


def test_staff_see_drafts_on_the_librarys_page_and_customers_do_not(
    cast: Cast, jory: Client, nobody: Client
) -> None:
    save_draft(OWN, own_text(title="A draft of ours?"), 0, cast.technician)
    assert "A draft of ours?" in page_of(jory.get(reverse("library")))
    assert "A draft of ours?" not in page_of(nobody.get(reverse("library")))


def test_a_search_finds_the_entry_without_scripts(nobody: Client) -> None:
    page = page_of(nobody.get(reverse("library"), {"look": "the lever locks at the same picture"}))
    assert get(COUNTER).title in page
    assert 'value="the lever locks at the same picture"' in page


def test_a_search_finds_our_own_entry(cast: Cast, nobody: Client) -> None:
    put_in_use(OWN, own_text(), 0, cast.technician)
    page = page_of(nobody.get(reverse("library"), {"look": "two numbers went by at once"}))
    assert "Why does the counter skip a number?" in page


def test_a_search_that_finds_nothing_says_so(nobody: Client) -> None:
    assert "Nothing here under these words" in page_of(nobody.get(reverse("library"), {"look": "?!"}))


def test_what_is_looked_for_is_never_markup(nobody: Client) -> None:
    page = page_of(nobody.get(reverse("library"), {"look": '"><b>lever</b>'}))
    assert "<b>lever" not in page
    assert "&lt;b&gt;lever" in page


def test_every_shelf_says_how_many_it_holds(nobody: Client) -> None:
    here = sum(entry.mechanism == "counter" for entry in collection.entries().values())
    page = page_of(nobody.get(reverse("library")))
    assert re.search(
        rf'id="shelf-counter">\s*<summary>\s*<h2>Frame counter</h2>\s*<span class="num">{here}</span>', page
    )
