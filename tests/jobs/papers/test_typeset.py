"""What people wrote is set as they wrote it, the same input gives the same bytes, and nothing is fetched."""

import re
from concurrent.futures import ThreadPoolExecutor
from io import BytesIO
from typing import Any
from unicodedata import category

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image

from jobs.papers import answering, warranting
from jobs.papers import typeset as module
from jobs.papers.typeset import FOLDER, CannotSet, typeset
from jobs.papers.writable import shapes
from tests.jobs.papers import told
from tests.jobs.papers.reading import bare, pdf, text


def with_title(title: str, **changes: Any) -> bytes:
    lines = [told.line(title, **changes)]
    return typeset("answer", answering.content(told.answer(lines=lines)))


@pytest.mark.parametrize(
    "typed",
    [
        "#panic()",
        '#read("/etc/passwd")',
        "*bold* and _slanted_",
        "$x^2$",
        "@ref and <label>",
        "back\\slash \\",
        "= Heading",
        "- item",
        "\"quotes\" and 'more' -- ---",
        "// no comment /* either */",
        "`raw` ``` fence",
        "[brackets] {braces} ~ # ~",
        "https://example.org/a?b=c#d",
        "{n} of {m} %(ref)s %s",
        "Γειά, привет, Łódź, œuvre",
    ],
)
def test_what_looks_like_markup_is_text(typed):
    assert bare(typed) in bare(with_title(typed))


def test_a_letter_and_its_accent_are_set_as_one():
    assert "Eclairé" in text(with_title("Eclaire\u0301"))


ODD = st.text(st.characters(codec=None, exclude_categories=()), max_size=40) | st.text(
    st.sampled_from(sorted(shapes())), max_size=60
)


@given(ODD, ODD)
@settings(max_examples=60, deadline=None)
def test_no_text_at_all_stops_a_paper(title, why):
    made = with_title(title, why=why)
    assert made.startswith(b"%PDF-1.7")


def test_a_template_in_the_words_of_the_foot_is_only_filled_where_the_house_wrote_it():
    made = typeset("answer", answering.content(told.answer(ref="{n}")))
    assert "{n}" in text(made)


def test_right_to_left_script_is_set_and_can_be_read_back():
    made = bare(with_title("שלום עולם"))
    assert "שלום" in made or "שלום"[::-1] in made


def test_arabic_has_shapes_too():
    assert with_title("سلام").startswith(b"%PDF")


@pytest.mark.parametrize(
    ("typed", "named"),
    [
        ("😀", "[grinning face]"),
        ("日本", "[U+65E5][U+672C]"),
        ("\ue000", "[U+E000]"),
        ("\ud83d", "[U+D83D]"),
        (" \u0301 alone", "[combining acute accent]"),
    ],
)
def test_a_sign_without_a_shape_is_written_by_its_name_and_the_paper_says_so(typed, named):
    made = text(with_title(f"A {typed} B"))
    assert bare(named) in bare(made)
    assert "written by their names" in made


def test_a_paper_with_every_sign_says_nothing_of_names():
    assert "written by their names" not in text(with_title("Free the gears"))


def test_control_signs_and_marks_that_turn_the_reading_around_are_left_out():
    assert "abcdef" in text(with_title("a\x00b\u202ec\u200bd\ufeffe\x07f"))


def test_signs_that_only_make_trouble_together_do_not_stop_the_paper(monkeypatch):
    asked = []
    compile_ = module._compile

    def troubled(files, data, at, root):
        asked.append(data)
        if len(asked) == 1:
            raise CannotSet("no shape")
        return compile_(files, data, at, root)

    monkeypatch.setattr(module, "_compile", troubled)
    assert "[hebrew letter shin]" in text(with_title("ש Skerry"))
    assert len(asked) == 2


def test_every_sign_in_the_ranges_has_a_shape(monkeypatch):
    """Asked of the typesetter itself, each sign alone; an accent on a letter. A new version of the wheel may carry other faces."""
    monkeypatch.setattr(module, "is_plain", lambda sign: pytest.fail("a sign of the ranges has no shape"))
    signs = " ".join(sorted(sign for sign in shapes() if category(sign)[0] != "M"))
    made = text(typeset("warranty", warranting.content(told.warranty(covers=[], aftercare=[signs]))))
    assert all(sign in made for sign in "zéŁαЖ€→")


@pytest.mark.parametrize(
    ("typed", "most"),
    [("W" * 300, 42), ("Donaudampfschifffahrtselektrizitätenhauptbetriebswerk" * 4, 90), ("ש" * 300, 90)],
)
def test_a_very_long_word_stays_on_the_paper(typed, most):
    """So many of its letters fit between the margins in the smallest of the three sizes that it is set in."""
    made = pdf(with_title(typed, why=typed, requires=[typed]))
    pieces = " ".join(page.extract_text() for page in made.pages).split()
    assert max(len(piece) for piece in pieces if piece[-1] in typed) <= most


def test_a_long_word_is_copied_without_anything_in_between():
    assert "W" * 300 in bare(with_title("W" * 300))


def test_lines_that_somebody_broke_stay_broken():
    made = pdf(with_title("Title", why="first\nsecond")).pages[0].extract_text()
    assert re.search(r"first\s*\n\s*second", made)


def test_the_same_input_gives_the_same_bytes():
    content = answering.content(told.with_a_spread())
    once = typeset("answer", content, attached={"evidence.json": b"{}"})
    typeset("answer", answering.content(told.offer()))
    assert typeset("answer", content, attached={"evidence.json": b"{}"}) == once


def test_another_second_gives_another_file():
    assert typeset("answer", answering.content(told.answer())) != typeset(
        "answer", answering.content(told.answer(made_at="2026-10-14T15:20:06+00:00"))
    )


def test_threads_set_the_papers_that_one_alone_sets():
    contents = [answering.content(told.answer(quote_n=n)) for n in range(1, 13)]
    alone = [typeset("answer", content) for content in contents]
    with ThreadPoolExecutor(4) as pool:
        assert list(pool.map(lambda content: typeset("answer", content), contents)) == alone


def test_a_picture_is_set_with_its_words():
    buffer = BytesIO()
    Image.new("RGB", (40, 30), "#776655").save(buffer, "JPEG")
    lines = [told.line(picture={"name": "gears.jpg", "alt": "The jammed gears"})]
    content = answering.content(told.answer(lines=lines))
    made = typeset("answer", content, pictures={"gears.jpg": buffer.getvalue()})
    assert len(pdf(made).pages[0].images) == 1
    assert b"The jammed gears" in made or "The jammed gears".encode("utf-16-be") in made


@pytest.mark.parametrize("name", ["../told.json", "a/b.json", "", ".."])
def test_a_file_cannot_be_put_outside_its_folder(name):
    with pytest.raises(ValueError):
        typeset("answer", answering.content(told.answer()), attached={name: b"{}"})


def test_a_template_that_is_none_is_said_so():
    with pytest.raises(KeyError):
        typeset("nothing", answering.content(told.answer()))


def test_what_the_typesetter_refuses_comes_as_one_error():
    content = answering.content(told.answer())
    with pytest.raises(CannotSet, match="terms"):
        typeset("answer", {key: value for key, value in content.items() if key != "terms"})


def test_the_templates_fetch_nothing_and_evaluate_nothing():
    """The suite refuses sockets to Python only; the compiler is no Python, so its sources are looked at instead."""
    for file in FOLDER.glob("*.typ"):
        source = file.read_text()
        assert not re.search(r'import\s+"@|include\s+"@|\beval\(|https?:', source), file.name


def test_no_word_of_a_language_stands_in_a_template():
    for file in FOLDER.glob("*.typ"):
        code = re.sub(r'//.*|"[^"]*"', "", file.read_text())
        assert not re.search(r"\[[^\]]*[A-Za-z]{2,}[^\]]*\]", code), file.name
