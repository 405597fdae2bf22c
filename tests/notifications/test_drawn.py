"""The library's drawing inside a letter: the one of that day, on white paper, without a font or a script of the machine's."""

from email import message_from_bytes
from email.policy import default
from io import BytesIO

import pytest
from PIL import Image

from jobs.actions import arriving, finding
from notifications import letters, links, message
from notifications.drawn import Drawn, drawing_for, png
from tests.notifications.scenes import letter_of, run

FACTS = {"surfaces": "both", "strength": "dense"}


@pytest.fixture
def posted(cast):
    """A finding explained by the library, with a drawing, and the letter about it."""
    job = cast.book()
    arriving.receive(job, arriving.Parcel(lens=True), cast.technician)
    arriving.start_examination(job, cast.technician)
    told = finding.Draft(
        "lens", "untried", "explains", "pictures", "There is haze inside", "", "lens/haze-inside", FACTS
    )
    kept = finding.post(finding.keep(job, told), cast.technician)
    run()
    return letter_of(kept.job, "finding_posted")


def _parts(letter):
    mail = message_from_bytes(message.build(letter, "bench@example.org"), policy=default)
    return {part.get_content_type(): part for part in mail.walk()}


def test_the_letter_carries_the_drawing_as_a_picture_of_its_own(posted):
    part = _parts(posted)["image/png"]
    assert part["Content-ID"] == f"<{links.drawing_id(posted.uid)}>"
    assert Image.open(BytesIO(part.get_content())).size == (720, 452)


def test_what_its_numbers_stand_for_is_said_below(posted):
    assert "(3) the haze on your lens" in posted.html
    assert 'alt="A lens cut down the middle"' in posted.html


def test_the_office_sees_it_too(posted):
    [(address, (_kind, made))] = letters.images_inside(posted).items()
    assert address in letters.preview(posted).html
    assert made.startswith(b"\x89PNG")


def test_it_is_the_drawing_of_that_day_although_the_finding_was_corrected_since(posted, cast):
    before = png(drawing_for(posted.entry, posted.kind))
    told = finding.Draft(
        "lens", "untried", "explains", "pictures", "There is haze inside", "", "lens/haze-inside",
        {"surfaces": "between_front", "strength": "light"},
    )  # fmt: skip
    finding.correct(posted.job.findings.get(), told, "Seen in better light.", cast.technician)
    run()
    assert png(drawing_for(posted.entry, posted.kind)) == before
    corrected = letter_of(posted.job, "finding_corrected")
    assert png(drawing_for(corrected.entry, corrected.kind)) != before


def test_a_finding_in_our_own_words_has_none(cast):
    job = cast.book()
    arriving.receive(job, arriving.Parcel(), cast.technician)
    arriving.start_examination(job, cast.technician)
    cast.post_finding(job, "A screw is missing")
    run()
    letter = letter_of(job, "finding_posted")
    assert "drawing." not in letter.html
    assert "image/png" not in _parts(letter)


def test_a_drawing_that_cannot_be_made_leaves_no_hole(posted, monkeypatch):
    monkeypatch.setattr(message, "png", lambda drawn: None)
    parts = _parts(posted)
    assert "image/png" not in parts
    assert "drawing." not in parts["text/html"].get_content()


def test_broken_svg_is_no_picture_and_no_error(caplog):
    assert png(Drawn("Broken", "<svg <", [], 360, 200)) is None
    assert "could not be made" in caplog.text


def test_ink_and_accent_are_on_the_paper(posted):
    """The class names of the drawings are styled: an unstyled one would be black on black or nothing at all."""
    picture = Image.open(BytesIO(png(drawing_for(posted.entry, posted.kind)))).convert("RGB")
    colours = {colour for _, colour in picture.getcolors(1 << 20)}
    assert (0x1E, 0x1B, 0x18) in colours
    assert (0x5B, 0x2D, 0x68) in colours
    assert picture.getpixel((2, 2)) == (0xFD, 0xFC, 0xFA)
