"""A letter's row as an Internet message (RFC 5322), ready for the wire.

Here and nowhere else the placeholders become live addresses and figures: a fresh private link, and a fresh code where the letter is
about one, for each time a letter is handed over.
"""

from datetime import datetime
from email.headerregistry import Address
from email.message import EmailMessage

from django.utils import timezone

from jobs.actions.coding import draw_code
from jobs.actions.linking import issue_link
from jobs.darkroom import store
from jobs.models import Kind
from notifications import copies, links, rings
from notifications.desk import Desk
from notifications.drawn import drawing_for, png
from notifications.headers import POLICY
from notifications.models import Letter
from notifications.parts import parts_of
from notifications.preferences import token_for
from notifications.render import without_image
from notifications.replies.address import reply_to


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
    desk = desk or Desk.now()
    mail = EmailMessage(policy=POLICY)
    _address(mail, letter, from_address, desk)
    _identify(mail, letter, now or timezone.now())
    _keep_robots_quiet(mail)
    if not letter.essential and off:
        _offer_to_stop(mail, off)
    _fill(mail, letter, key, off)
    return mail.as_bytes()


def simple(subject: str, text: str, from_name: str, from_address: str, to: str, message_id: str) -> bytes:
    """A message that is no letter: the owner's test of the mailbox."""
    mail = EmailMessage(policy=POLICY)
    mail["From"] = mailbox_of(from_name, from_address)
    mail["To"] = mailbox_of("", to)
    mail["Subject"] = one_line(subject)
    mail["Date"] = timezone.now()
    mail["Message-ID"] = message_id
    mail["Auto-Submitted"] = "auto-generated"
    mail.set_content(text, cte="quoted-printable")
    return mail.as_bytes()


def one_line(text: str) -> str:
    """Text that can stand in a header: no line ends or other control characters, so that nobody adds a header of their own."""
    return "".join(letter for letter in " ".join(text.split()) if letter.isprintable())


def ascii_address(address: str) -> str:
    """The address with its domain in ASCII (IDNA), as SMTP without SMTPUTF8 needs it. Raises ValueError for what is no address."""
    local, at, domain = one_line(address).rpartition("@")
    if not (local and at and domain):
        raise ValueError(address)
    return f"{local}@{domain.encode('idna').decode()}"


def mailbox_of(name: str, address: str) -> Address:
    return Address(display_name=one_line(name), addr_spec=ascii_address(address))


def _address(mail: EmailMessage, letter: Letter, from_address: str, desk: Desk) -> None:
    name = desk.house.name if desk.house else ""
    mail["From"] = mailbox_of(name, from_address)
    mail["To"] = mailbox_of(letter.person.name if letter.person else "", letter.to_address)
    if answers := reply_to(letter, desk):
        mail["Reply-To"] = mailbox_of(name, answers)
    mail["Subject"] = one_line(letter.subject)


def _identify(mail: EmailMessage, letter: Letter, now: datetime) -> None:
    """RFC 5322 sections 3.6.1 and 3.6.4: one thread for each job."""
    mail["Date"] = now
    mail["Message-ID"] = letter.message_id
    if letter.references:
        mail["In-Reply-To"] = letter.references.split()[-1]
        mail["References"] = letter.references


def _keep_robots_quiet(mail: EmailMessage) -> None:
    """RFC 3834 section 5, MS-OXCMAIL 2.1.3.2.20, RFC 2919."""
    mail["Auto-Submitted"] = "auto-generated"
    mail["X-Auto-Response-Suppress"] = "OOF, AutoReply"
    mail["List-Id"] = f"<letters.{links.host()}>"


def _offer_to_stop(mail: EmailMessage, off: str) -> None:
    """RFC 2369 section 3.2 and RFC 8058: one click, by POST, without a log-in."""
    mail["List-Unsubscribe"] = f"<{links.letters_off(off)}>"
    mail["List-Unsubscribe-Post"] = "List-Unsubscribe=One-Click"


def _fill(mail: EmailMessage, letter: Letter, key: str, off: str) -> None:
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
                shown.append((content_id, *made))
            else:
                html = without_image(html, content_id)
    places = {links.key_place(letter.uid): key, links.off_place(letter.uid): off, **_figures(letter)}
    text, html = (_filled(each, places) for each in (letter.text, html))
    mail.set_content(text, cte="quoted-printable")
    mail.add_alternative(html, subtype="html", cte="quoted-printable")
    for content_id, content, kind, name in shown:
        _enclose(mail, content, kind, content_id, name)
    for part in parts:
        if copy := copies.carried_by(part, letter.text):
            _attach(mail, copy)


def _enclose(mail: EmailMessage, content: bytes, kind: str, content_id: str, name: str) -> None:
    """Put a picture beside the HTML (RFC 2387), which names it by its Content-ID (RFC 2392)."""
    _last_part(mail).add_related(
        content, "image", kind, cid=f"<{content_id}>", disposition="inline", filename=name
    )


def _attach(mail: EmailMessage, copy: copies.Copy) -> None:
    """Put a document behind the words (RFC 2046 section 5.1.3), as an attachment (RFC 2183); after the pictures, which go inside."""
    mail.add_attachment(
        bytes(copy.paper.body), maintype="application", subtype="pdf", filename=one_line(copy.name)
    )


def _figures(letter: Letter) -> dict[str, str]:
    """The place of the six figures and the figures, drawn now; nothing for a letter that is not about a code."""
    if letter.entry.kind != Kind.CODE_ASKED:
        return {}
    return {links.code_place(letter.uid): draw_code(letter.entry.data["code"])}


def _filled(part: str, places: dict[str, str]) -> str:
    for place, words in places.items():
        part = part.replace(place, words)
    return part


def _last_part(mail: EmailMessage) -> EmailMessage:
    return list(mail.iter_parts())[-1]  # type: ignore[return-value, unused-ignore]


def _picture(letter: Letter) -> tuple[bytes, str, str] | None:
    """The picture's bytes, kind and name; None without one, or when its file is gone: the letter goes all the same."""
    if not letter.picture:
        return None
    try:
        bare = store.path(letter.picture).read_bytes()
    except OSError:
        return None
    return rings.marked(letter.photo, bare) if letter.photo else bare, "jpeg", "photo.jpg"


def _drawing(letter: Letter) -> tuple[bytes, str, str] | None:
    """The library's drawing; None when it cannot be made."""
    drawn = drawing_for(letter.entry, letter.kind)
    made = png(drawn) if drawn else None
    return (made, "png", "drawing.png") if made else None
