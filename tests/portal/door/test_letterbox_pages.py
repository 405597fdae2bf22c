from email.message import EmailMessage
from pathlib import Path
from typing import Any

import pytest
from django.test import Client

from portal.letterbox import keep
from tests.cast import Cast

pytestmark = pytest.mark.django_db

PIXEL = b"\x89PNG\r\n\x1a\n not really"


@pytest.fixture(autouse=True)
def box(settings: Any, tmp_path: Path, cast: Cast) -> Path:
    settings.DEMO = True
    settings.LETTERBOX_DIR = tmp_path / "letterbox"
    return settings.LETTERBOX_DIR


def letter(subject: str = "Your Corvane Skerry: it arrived safely", html: str = "") -> bytes:
    mail = EmailMessage()
    mail["From"], mail["To"], mail["Subject"] = "Bench <bench@example.org>", "orla@example.org", subject
    mail["List-Unsubscribe"] = "<https://repairs.example.org/letters-off/1.x/>"
    mail.set_content("Dear Orla,\n\nOpen your page: https://repairs.example.org/open/j_key\n")
    if html:
        mail.add_alternative(html, subtype="html")
        mail.get_payload()[1].add_related(PIXEL, "image", "png", cid="<one@example.org>")
    return mail.as_bytes()


def with_attachment(kind: str = "pdf", name: str = "Tidewater 4TM7-QKR quote 2.pdf") -> bytes:
    mail = EmailMessage()
    mail["From"], mail["To"], mail["Subject"] = (
        "Bench <bench@example.org>",
        "orla@example.org",
        "What you agreed",
    )
    mail.set_content("Dear Orla,\n")
    mail.add_attachment(b"%PDF-1.7 bytes", maintype="application", subtype=kind, filename=name)
    return mail.as_bytes()


def test_what_came_with_a_letter_is_named_and_handed_out_byte_for_byte(box: Path, nobody: Client) -> None:
    name = keep(box, with_attachment())
    page = nobody.get(f"/letterbox/{name}/").content.decode()
    assert "Tidewater 4TM7-QKR quote 2.pdf" in page
    answer = nobody.get(f"/letterbox/{name}/attached/1/")
    assert b"".join(answer.streaming_content) == b"%PDF-1.7 bytes"  # type: ignore[attr-defined]
    assert answer["Content-Type"] == "application/pdf"


def test_what_is_no_pdf_is_not_handed_out(box: Path, nobody: Client) -> None:
    name = keep(box, with_attachment("xhtml+xml", "page.html"))
    assert nobody.get(f"/letterbox/{name}/attached/1/").status_code == 404
    assert nobody.get(f"/letterbox/{name}/attached/2/").status_code == 404


HTML = (
    '<html><head><title>x</title></head><body style="color:red"><p>Dear Orla</p><script>alert(1)</script>'
    '<img src="cid:one@example.org"><img src="https://elsewhere.example/spy.gif"><a href="https://repairs.example.org/open/j_key">open</a></body></html>'
)


def test_the_newest_letter_stands_first(box: Path, nobody: Client) -> None:
    for subject in ("the first", "the second"):
        keep(box, letter(subject))
    page = nobody.get("/letterbox/").content.decode()
    assert page.index("the second") < page.index("the first")


def test_a_letter_shows_its_text_and_its_headers(box: Path, nobody: Client) -> None:
    name = keep(box, letter())
    page = nobody.get(f"/letterbox/{name}/").content.decode()
    assert "Dear Orla," in page
    assert "List-Unsubscribe" in page
    assert '<a href="https://repairs.example.org/open/j_key"' in page


def test_the_frame_has_no_scripts_no_origin_and_loads_nothing(box: Path, nobody: Client) -> None:
    name = keep(box, letter(html=HTML))
    page = nobody.get(f"/letterbox/{name}/")
    frame = nobody.get(f"/letterbox/{name}/html/")
    policy = frame["Content-Security-Policy"]
    assert "default-src 'none'" in policy
    assert "img-src data:;" in policy
    assert "sandbox" in policy
    assert not any(
        grant in policy for grant in ("allow-scripts", "allow-same-origin", "script-src", "allow-forms")
    )
    assert frame["X-Frame-Options"] == "SAMEORIGIN"
    assert "frame-src 'self'" in page["Content-Security-Policy"]
    assert 'sandbox="' in page.content.decode()


def test_pictures_come_out_of_the_letter_itself(box: Path, nobody: Client) -> None:
    name = keep(box, letter(html=HTML))
    frame = nobody.get(f"/letterbox/{name}/html/").content.decode()
    assert 'src="data:image/png;base64,' in frame
    assert "cid:" not in frame


def test_inline_styles_are_allowed_in_the_frame_alone(box: Path, nobody: Client) -> None:
    name = keep(box, letter(html=HTML))
    assert "style-src 'unsafe-inline'" in nobody.get(f"/letterbox/{name}/html/")["Content-Security-Policy"]
    assert "unsafe-inline" not in nobody.get(f"/letterbox/{name}/")["Content-Security-Policy"]


def test_what_stands_in_a_letter_is_not_markup_on_our_page(box: Path, nobody: Client) -> None:
    name = keep(box, letter("<script>alert(1)</script>"))
    for path in ("/letterbox/", f"/letterbox/{name}/"):
        assert "<script>alert" not in nobody.get(path).content.decode()


@pytest.mark.parametrize("path", ["/letterbox/", "/letterbox/{name}/", "/letterbox/{name}/html/"])
def test_a_real_workshop_has_no_letterbox(box: Path, nobody: Client, settings: Any, path: str) -> None:
    name = keep(box, letter(html=HTML))
    settings.DEMO = settings.DEBUG = False
    assert nobody.get(path.format(name=name)).status_code == 404


@pytest.mark.parametrize(
    "name", ["..%2f..%2fsecret-key", "nothing.eml", ".hidden.eml", "a.eml.part", "%00.eml"]
)
def test_no_other_file_can_be_read(box: Path, nobody: Client, name: str) -> None:
    keep(box, letter())
    assert nobody.get(f"/letterbox/{name}/").status_code == 404


def test_many_letters_come_in_pages(box: Path, nobody: Client) -> None:
    for n in range(51):
        keep(box, letter(f"letter number {n}"))
    assert "letter number 0<" not in nobody.get("/letterbox/").content.decode()
    assert "letter number 0<" in nobody.get("/letterbox/?page=2").content.decode()
