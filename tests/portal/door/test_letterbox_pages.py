import re
from datetime import UTC, datetime, time, timedelta
from email.message import EmailMessage
from pathlib import Path
from typing import Any

import pytest
from django.test import Client
from django.utils import timezone

from jobs.actions import arriving
from jobs.models import Workshop
from notifications import relay
from notifications.models import Letter
from portal.door import letterbox
from portal.letterbox import keep
from tests.cast import Cast

pytestmark = pytest.mark.django_db

PIXEL = b"\x89PNG\r\n\x1a\n not really"


@pytest.fixture(autouse=True)
def box(settings: Any, tmp_path: Path, cast: Cast) -> Path:
    settings.DEMO = True
    settings.LETTERBOX_DIR = tmp_path / "letterbox"
    return settings.LETTERBOX_DIR


def letter(
    subject: str = "Your Corvane Skerry: it arrived safely", html: str = "", sent: datetime | None = None
) -> bytes:
    mail = EmailMessage()
    mail["Date"] = sent or timezone.now()
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


def days(page: str) -> list[str]:
    return [" ".join(each.split()) for each in re.findall(r"<h2 id=\"day-[^>]*>(.*?)</h2>", page, re.DOTALL)]


def test_letters_stand_under_the_day_on_which_they_were_sent(box: Path, nobody: Client) -> None:
    now = timezone.now()
    for days_ago in (2, 0, 1, 1):  # as they came in, which need not be as they were sent
        keep(box, letter(f"of {days_ago} days ago", sent=now - timedelta(days=days_ago)))
    page = nobody.get("/letterbox/").content.decode()
    assert len(days(page)) == 3
    assert days(page)[0].startswith("Today, <time")
    told = [page.index(f"of {days_ago} days ago") for days_ago in (0, 1, 2)]
    assert told == sorted(told)


def test_a_day_begins_at_midnight_where_the_workshop_is(box: Path, nobody: Client) -> None:
    keep(box, letter(sent=datetime(2026, 7, 3, 23, 30, tzinfo=UTC)))
    [day] = days(nobody.get("/letterbox/").content.decode())
    assert 'datetime="2026-07-04"' in day


def test_a_letter_that_does_not_say_when_stands_where_it_came_in(box: Path, nobody: Client) -> None:
    keep(box, b"Subject: undated\r\n\r\n")
    keep(box, b"Subject: nonsense\r\nDate: the day before\r\n\r\n")
    page = nobody.get("/letterbox/").content.decode()
    assert len(days(page)) == 1
    assert days(page)[0].startswith("Today")


def test_the_list_reads_no_letter_beyond_its_head(
    box: Path, nobody: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    keep(box, letter("short of breath") + b"x" * 300_000)
    keep(box, b"Subject: nothing but a head\r\n")
    seen: list[int] = []
    parse = letterbox.BytesHeaderParser.parsebytes
    monkeypatch.setattr(
        letterbox.BytesHeaderParser,
        "parsebytes",
        lambda parser, raw: seen.append(len(raw)) or parse(parser, raw),  # type: ignore[func-returns-value]
    )
    page = nobody.get("/letterbox/").content.decode()
    assert "short of breath" in page
    assert "nothing but a head" in page
    assert max(seen) < 1000


def test_it_says_that_letters_wait_and_when_the_first_goes(
    nobody: Client, cast: Cast, time_machine: Any
) -> None:
    Workshop.objects.update(digest_minutes=1, quiet_from=time(20), quiet_until=time(8))
    time_machine.move_to(datetime(2026, 11, 4, 23, 0, tzinfo=UTC))  # a Wednesday
    job = cast.book()
    arriving.receive(job, arriving.Parcel(condition="Clean.", lens=True), cast.technician)
    relay.run()
    assert list(Letter.objects.put_off().values_list("kind", flat=True)) == ["arrived"]
    page = " ".join(nobody.get("/letterbox/").content.decode().split())
    assert "One letter waits. It goes Thu 5 November, 08:00." in page
    assert "Quiet hours are 20:00 to 08:00." in page
    assert "/office/letters/" in page


def test_where_nothing_waits_it_says_nothing_of_waiting(nobody: Client, cast: Cast) -> None:
    cast.book()
    relay.run()
    for path in ("/letterbox/", "/letterbox/texts/"):
        page = nobody.get(path).content.decode()
        assert "waits." not in page
        assert "Quiet hours" not in page


def test_texts_that_wait_for_the_morning_are_told_on_their_own_page(nobody: Client, cast: Cast) -> None:
    cast.book()
    relay.run()
    Letter.objects.update(channel="text", next_attempt_at=timezone.now() + timedelta(hours=5))
    assert "One text or notice waits." in nobody.get("/letterbox/texts/").content.decode()
    assert "waits." not in nobody.get("/letterbox/").content.decode()
