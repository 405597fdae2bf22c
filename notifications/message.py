"""A letter's row as an Internet message (RFC 5322), ready for the wire.

Here and nowhere else the placeholders become live addresses and figures: a fresh private link, and a fresh code where the letter is
about one, for each time a letter is handed over.
"""

from collections.abc import Iterable
from datetime import datetime
from email.headerregistry import Address
from functools import lru_cache

from django.utils import timezone

from jobs.actions.coding import draw_code
from jobs.actions.linking import issue_link
from jobs.darkroom import store
from jobs.models import Kind
from notifications import copies, links, mime, rings
from notifications.desk import Desk
from notifications.drawn import drawing_for, png
from notifications.headers import header
from notifications.models import Letter
from notifications.parts import parts_of
from notifications.preferences import token_for
from notifications.render import without_image
from notifications.replies.address import reply_to

Fields = Iterable[tuple[str, str | Address | datetime]]


def build(
    letter: Letter,
    from_address: str,
    now: datetime | None = None,
    *,
    key: str | None = None,
    desk: Desk | None = None,
) -> bytes:
    """The whole message, CRLF line ends, with a fresh private link inside. Issues that link, unless the caller brings a `key` and
    keeps it. `desk` is that of a round, where many are built.
    """
    if key is None:
        key = issue_link(letter.job, made_for=letter.to_address) if letter.person_id else ""
    off = token_for(letter.person) if letter.person else ""
    fields = _fields(letter, from_address, now or timezone.now(), desk or Desk.now(), off)
    return _head(fields) + _body(letter, key, off)


def simple(subject: str, text: str, from_name: str, from_address: str, to: str, message_id: str) -> bytes:
    """A message that is no letter: the owner's test of the mailbox."""
    fields: dict[str, str | Address | datetime] = {
        "From": mailbox_of(from_name, from_address),
        "To": mailbox_of("", to),
        "Subject": one_line(subject),
        "Date": timezone.now(),
        "Message-ID": message_id,
        "Auto-Submitted": "auto-generated",
    }
    return _head(fields.items()) + mime.words(text, "plain")


def one_line(text: str) -> str:
    """Text that can stand in a header: no line ends or other control characters, so that nobody adds a header of their own."""
    return "".join(letter for letter in " ".join(text.split()) if letter.isprintable())


def ascii_address(address: str) -> str:
    """The address with its domain in ASCII (IDNA), as SMTP without SMTPUTF8 needs it. Raises ValueError for what is no address."""
    local, at, domain = one_line(address).rpartition("@")
    if not (local and at and domain):
        raise ValueError(address)
    return f"{local}@{domain.encode('idna').decode()}"


@lru_cache(maxsize=200)
def mailbox_of(name: str, address: str) -> Address:
    """Kept, because the house's own stand in every letter. Raises ValueError for what is no address."""
    return Address(display_name=one_line(name), addr_spec=ascii_address(address))


def _head(fields: Fields) -> bytes:
    written = "".join(header(name, value) for name, value in fields)
    return f"{written}MIME-Version: 1.0\r\n".encode("ascii")


def _fields(letter: Letter, from_address: str, now: datetime, desk: Desk, off: str) -> Fields:
    """RFC 5322 section 3.6; one thread for each job (3.6.4)."""
    name = desk.house.name if desk.house else ""
    yield "From", mailbox_of(name, from_address)
    yield "To", mailbox_of(letter.person.name if letter.person else "", letter.to_address)
    if answers := reply_to(letter, desk):
        yield "Reply-To", mailbox_of(name, answers)
    yield "Subject", one_line(letter.subject)
    yield "Date", now
    yield "Message-ID", letter.message_id
    if letter.references:
        yield "In-Reply-To", letter.references.split()[-1]
        yield "References", letter.references
    # That robots keep quiet: RFC 3834 section 5, MS-OXCMAIL 2.1.3.2.20, RFC 2919.
    yield "Auto-Submitted", "auto-generated"
    yield "X-Auto-Response-Suppress", "OOF, AutoReply"
    yield "List-Id", f"<letters.{links.host()}>"
    # One click, by POST, without a log-in: RFC 2369 section 3.2 and RFC 8058.
    if not letter.essential and off:
        yield "List-Unsubscribe", f"<{links.letters_off(off)}>"
        yield "List-Unsubscribe-Post", "List-Unsubscribe=One-Click"


def _body(letter: Letter, key: str, off: str) -> bytes:
    """Text and HTML, what the HTML shows, and what goes with it: the letter's own and that of all it carries."""
    parts = parts_of(letter)
    html, shown = letter.html, []
    for part in parts:
        for content_id, image in (
            (links.content_id(part.uid), _picture),
            (links.drawing_id(part.uid), _drawing),
        ):
            if content_id not in html:
                continue
            if made := image(part):
                shown.append(mime.enclosed(*made, content_id))
            else:
                html = without_image(html, content_id)
    places = {links.key_place(letter.uid): key, links.off_place(letter.uid): off, **_figures(letter)}
    text, html = (_filled(each, places) for each in (letter.text, html))
    rich = mime.together("related", [mime.words(html, "html"), *shown])
    both = mime.together("alternative", [mime.words(text, "plain"), rich])
    copied = [_attached(copy) for part in parts if (copy := copies.carried_by(part, letter.text))]
    return mime.together("mixed", [both, *copied])


def _attached(copy: copies.Copy) -> bytes:
    return mime.enclosed(bytes(copy.paper.body), "application/pdf", one_line(copy.name))


def _figures(letter: Letter) -> dict[str, str]:
    """The place of the six figures and the figures, drawn now; nothing for a letter that is not about a code."""
    if letter.entry.kind != Kind.CODE_ASKED:
        return {}
    return {links.code_place(letter.uid): draw_code(letter.entry.data["code"])}


def _filled(part: str, places: dict[str, str]) -> str:
    for place, words in places.items():
        part = part.replace(place, words)
    return part


def _picture(letter: Letter) -> tuple[bytes, str, str] | None:
    """The picture's bytes, kind and name; None without one, or when its file is gone: the letter goes all the same."""
    if not letter.picture:
        return None
    try:
        bare = store.path(letter.picture).read_bytes()
    except OSError:
        return None
    return rings.marked(letter.photo, bare) if letter.photo else bare, "image/jpeg", "photo.jpg"


def _drawing(letter: Letter) -> tuple[bytes, str, str] | None:
    """The library's drawing; None when it cannot be made."""
    drawn = drawing_for(letter.entry, letter.kind)
    made = png(drawn) if drawn else None
    return (made, "image/png", "drawing.png") if made else None
