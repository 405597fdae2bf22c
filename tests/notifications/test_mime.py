"""What is put together by hand is read by the library's parser as it was meant."""

from email import message_from_bytes, policy

import pytest

from notifications import mime

ODD = {
    "nothing": "",
    "no line end": "Dear Guest",
    "every kind of line end": "a\nb\r\nc\rd\n\n\ne",
    "dots": ".\n..\n.dots\n",
    "spaces and tabs at the ends": "a \nb\t\n \n\t\nc  ",
    "signs of its own": "=\n==_\n=3D =E2=80\n=",
    "a boundary": "--=_alternative\n--=_alternative--\n--=_related",
    "a mailbox file's beginning": "From here on\n",
    "other scripts": "Žluťoučký kůň “ready” 修理 📷\n" * 9,
    "a long line": "word " * 300 + "x" * 500,
    "signs that end a line elsewhere": "a\u2028b\x85c\x0bd\x0ce",
    "control characters": "a\x00b\x07c\x1bd",
}


def read(raw: bytes):
    return message_from_bytes(raw, policy=policy.default)


@pytest.mark.parametrize("text", ODD.values(), ids=ODD)
def test_words_come_back_as_they_were(text):
    raw = mime.words(text, "plain")
    assert raw.isascii()
    assert max(map(len, raw.partition(b"\r\n\r\n")[2].split(b"\r\n"))) <= 76
    lines = [line.decode() for line in text.encode().splitlines()]
    assert read(raw).get_content() == "\r\n".join([*(lines or [""]), ""])


@pytest.mark.parametrize("text", ODD.values(), ids=ODD)
def test_no_words_end_the_part_that_they_stand_in(text):
    words = [mime.words(text, subtype) for subtype in ("plain", "html")]
    picture = mime.enclosed(b"--=_related--", "image/png", "--=_mixed.png", "p@x")
    rich = mime.together("related", [words[1], picture])
    whole = read(mime.together("mixed", [mime.together("alternative", [words[0], rich]), picture]))
    assert [part.get_content_type() for part in whole.walk()] == [
        *("multipart/mixed", "multipart/alternative", "text/plain"),
        *("multipart/related", "text/html", "image/png", "image/png"),
    ]
    assert [part.defects for part in whole.walk() if part.defects] == []


def test_one_part_alone_is_no_multipart():
    assert mime.together("related", [mime.words("Hello", "html")]) == mime.words("Hello", "html")


def test_a_documents_name_in_any_script_comes_back():
    part = read(mime.enclosed(b"%PDF", "application/pdf", "Gerät “A”.pdf"))
    assert part.get_filename() == "Gerät “A”.pdf"
    assert part.get_content() == b"%PDF"
