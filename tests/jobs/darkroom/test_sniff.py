"""The look at a file's first bytes, which is all that a web process does with it."""

import pytest

from jobs.darkroom.sniff import MAX_BYTES, kind, refusal
from tests.jobs.darkroom import pictures

HEIC = b"\0\0\0\x18ftypheic\0\0\0\0mif1heic"


@pytest.mark.parametrize(
    ("content", "found"),
    [
        (pictures.saved(pictures.quarters(64, 48)), "jpeg"),
        (pictures.two_pictures(), "jpeg"),
        (pictures.saved(pictures.quarters(64, 48), "PNG"), "png"),
        (pictures.saved(pictures.quarters(64, 48), "WEBP"), "webp"),
        (HEIC, "heic"),
    ],
)
def test_what_we_know_is_known_by_its_first_bytes(content: bytes, found: str) -> None:
    assert kind(content[:16]) == found


@pytest.mark.parametrize("name", list(pictures.NOT_PHOTOGRAPHS))
def test_everything_else_is_refused_whatever_its_name(name: str) -> None:
    content = pictures.NOT_PHOTOGRAPHS[name]
    assert (
        refusal(content[:16], len(content))
        == "This is not a photo that we can open. JPEG, PNG and WebP work."
    )


def test_heic_is_refused_in_words_that_say_what_to_do() -> None:
    assert (
        refusal(HEIC, 1000)
        == "This photo is in the HEIC format, which we cannot open. Please send it as JPEG."
    )


def test_heic_is_taken_where_the_workshop_has_switched_it_on() -> None:
    assert refusal(HEIC, 1000, heic=True) == ""


def test_twenty_five_megabytes_are_taken_and_a_byte_more_is_not() -> None:
    head = pictures.saved(pictures.quarters(64, 48))[:16]
    assert refusal(head, MAX_BYTES) == ""
    assert refusal(head, MAX_BYTES + 1) == "This photo is larger than 25 MB. A smaller copy will do."
