"""Our letters read by the standard library's parser, field by field, against the RFC that asks for each.

The parser is `email.parser` with `email.policy.default` of Python's standard library: it did not write these messages' bytes on
its own terms (line ends, folding and encodings are checked on the bytes themselves).
"""

import re
from email import message_from_bytes, policy
from email.message import EmailMessage
from email.utils import parseaddr, parsedate_to_datetime

import pytest
from django.conf import settings
from django.utils import timezone

from notifications import message, relay
from notifications.models import Letter
from notifications.plan import PLANS
from tests.cast import make_cast
from tests.notifications.scenes import every_letter

pytestmark = pytest.mark.django_db
NEWS = {plan.letter for plans in PLANS.values() for plan in plans if not plan.essential} | {"gathered"}
SENDER = "letters@tidewater.example"
CARRY_A_COPY = {"decided", "staff_decided", "warranty"}


def parsed(letter: Letter) -> EmailMessage:
    mail = message_from_bytes(message.build(letter, SENDER), policy=policy.default)
    assert isinstance(mail, EmailMessage)
    return mail


@pytest.fixture
def letters() -> dict[str, Letter]:
    return every_letter(make_cast())


_built: dict[str, bytes] = {}


@pytest.fixture
def raws(request: pytest.FixtureRequest) -> dict[str, bytes]:
    """One message of each kind as it leaves the house, built once for the whole run."""
    if not _built:
        written = request.getfixturevalue("letters")
        _built.update({kind: message.build(letter, SENDER) for kind, letter in written.items()})
    return _built


@pytest.fixture
def mails(raws: dict[str, bytes]) -> dict[str, EmailMessage]:
    """The same, read."""
    return {kind: message_from_bytes(raw, policy=policy.default) for kind, raw in raws.items()}  # type: ignore[misc]


def test_the_parser_finds_no_defect_in_any_part(mails: dict[str, EmailMessage]) -> None:
    """RFC 5322 and RFC 2045, as far as `email.parser` checks them."""
    for kind, mail in mails.items():
        assert [part.defects for part in mail.walk() if part.defects] == [], kind
        assert [value.defects for value in mail.values() if value.defects] == [], kind


def test_the_fields_that_every_message_must_have_stand_once(mails: dict[str, EmailMessage]) -> None:
    """RFC 5322 section 3.6: Date and From exactly once; the others at most once."""
    for kind, mail in mails.items():
        for field in ("Date", "From", "To", "Subject", "Message-ID"):
            assert len(mail.get_all(field, [])) == 1, (kind, field)
        for field in ("Reply-To", "In-Reply-To", "References"):
            assert len(mail.get_all(field, [])) <= 1, (kind, field)


def test_no_line_is_longer_than_998_characters_and_all_end_in_crlf(raws: dict[str, bytes]) -> None:
    """RFC 5322 section 2.1.1; RFC 5321 section 2.3.8."""
    for kind, raw in raws.items():
        assert max(map(len, raw.split(b"\r\n"))) <= 998, kind
        assert not re.search(rb"(?<!\r)\n|\r(?!\n)", raw), kind


def test_header_lines_are_short_where_they_can_be(raws: dict[str, bytes]) -> None:
    """RFC 5322 section 2.1.1: 78 characters at best. Longer is only what holds no space to fold at: one identifier or address."""
    for kind, raw in raws.items():
        head = raw.split(b"\r\n\r\n")[0]
        for line in head.split(b"\r\n"):
            folded = line.split(b": ", 1)[-1].strip()
            assert len(line) <= 78 or b" " not in folded, (kind, line)


def test_every_byte_is_ascii_so_that_no_server_has_to_rewrite(raws: dict[str, bytes]) -> None:
    """RFC 5321 section 2.4 without the 8BITMIME extension of RFC 6152."""
    assert all(raw.isascii() for raw in raws.values())


def test_the_date_is_that_of_sending(mails: dict[str, EmailMessage]) -> None:
    """RFC 5322 section 3.6.1."""
    for mail in mails.values():
        assert abs((parsedate_to_datetime(mail["Date"]) - timezone.now()).total_seconds()) < 120


def test_letters_come_from_the_workshop_and_replies_go_to_it(mails: dict[str, EmailMessage]) -> None:
    """RFC 5322 sections 3.6.2 and 3.4."""
    assert parseaddr(mails["ready"]["From"]) == ("Tidewater Camera Works", SENDER)
    assert parseaddr(mails["ready"]["Reply-To"]) == ("Tidewater Camera Works", "bench@tidewater.example")


def test_the_message_id_is_ours_and_the_same_each_time(letters: dict[str, Letter]) -> None:
    """RFC 5322 section 3.6.4: `<id-left@id-right>`; RFC 5321 section 6.1 on copies."""
    for letter in letters.values():
        first, second = parsed(letter)["Message-ID"], parsed(letter)["Message-ID"]
        assert re.fullmatch(r"<[0-9a-f]{32}@localhost>", first)
        assert first == second == letter.message_id


def test_the_letters_of_a_job_are_one_tree(letters: dict[str, Letter]) -> None:
    """RFC 5322 section 3.6.4: In-Reply-To names the parent; References leads to it from the root."""
    job = letters["warranty"].job
    conversation = Letter.objects.to_customers().filter(job=job).exclude(state="skipped").order_by("pk")
    mails = [parsed(letter) for letter in conversation]
    known = {mails[0]["Message-ID"]}
    assert mails[0]["In-Reply-To"] is None
    for mail in mails[1:]:
        assert mail["In-Reply-To"] in known
        assert mail["References"].split() == list(
            dict.fromkeys([mails[0]["Message-ID"], mail["In-Reply-To"]])
        )
        known.add(mail["Message-ID"])
    assert len(known) == len(mails) > 8


def test_letters_say_that_no_person_typed_them(mails: dict[str, EmailMessage]) -> None:
    """RFC 3834 section 5; X-Auto-Response-Suppress as in MS-OXCMAIL section 2.1.3.2.20."""
    for mail in mails.values():
        assert mail["Auto-Submitted"] == "auto-generated"
        assert mail["X-Auto-Response-Suppress"] == "OOF, AutoReply"
        assert mail["Precedence"] is None


def test_the_list_id_names_the_workshops_letters(mails: dict[str, EmailMessage]) -> None:
    """RFC 2919 section 2: a dot-atom in angle brackets, the same for all letters."""
    assert {mail["List-Id"] for mail in mails.values()} == {"<letters.localhost>"}


def test_only_what_is_not_essential_offers_one_click_to_stop(
    mails: dict[str, EmailMessage],
) -> None:
    """RFC 2369 section 3.2 and RFC 8058 section 3.1: one https address, and the exact field for the POST."""
    for kind, mail in mails.items():
        offered = mail["List-Unsubscribe"]
        assert bool(offered) is (kind in NEWS), kind
        if offered:
            assert re.fullmatch(
                rf"<{re.escape(settings.PUBLIC_BASE_URL)}/letters-off/[A-Za-z0-9._-]+/>", offered
            )
            assert mail["List-Unsubscribe-Post"] == "List-Unsubscribe=One-Click"


def test_an_address_in_a_header_is_never_cut_or_encoded(raws: dict[str, bytes]) -> None:
    """RFC 2369 section 2: no encoded words inside angle brackets; a fold inside would break the address."""
    assert re.search(rb"(?m)^List-Unsubscribe: <[^\s=?]+>\r$", raws["arrived"])
    references = re.search(rb"(?ms)^References: (.*?)\r\n(?! )", raws["decided"])
    assert references
    assert b"=?" not in references[1]


def test_the_parts_are_those_that_mail_programs_expect(mails: dict[str, EmailMessage]) -> None:
    """RFC 2046 section 5.1.4: the plainest alternative first; RFC 2387: the picture related to the HTML that shows it."""
    for kind, mail in mails.items():
        words = mail
        if kind in CARRY_A_COPY:  # RFC 2046 section 5.1.3: first the words, then what is attached
            assert mail.get_content_type() == "multipart/mixed", kind
            words, copy = mail.iter_parts()  # type: ignore[assignment]
            assert copy.get_content_type() == "application/pdf"
            assert copy.get_content_disposition() == "attachment"
        assert words.get_content_type() == "multipart/alternative", kind
        plain, rich = words.iter_parts()
        assert plain.get_content_type() == "text/plain", kind
        shows_a_picture = b"cid:" in rich.as_bytes()
        assert rich.get_content_type() == ("multipart/related" if shows_a_picture else "text/html"), kind


@pytest.mark.parametrize("kind", ["quote_sent", "arrived", "ready", "gathered"])
def test_each_picture_is_found_by_its_content_id(mails: dict[str, EmailMessage], kind: str) -> None:
    """RFC 2392 section 2: `cid:` is the Content-ID without its angle brackets. RFC 2183 section 2.1: inline."""
    related = mails[kind].get_body(("related",))
    assert related is not None
    html, *pictures = related.iter_parts()  # type: ignore[attr-defined]
    assert re.findall(r"cid:([^\"]+)", html.get_content()) == [
        picture["Content-ID"].strip("<>") for picture in pictures
    ]
    assert len({picture["Content-ID"] for picture in pictures}) == len(pictures) > 0
    assert {picture.get_content_disposition() for picture in pictures} == {"inline"}
    assert {picture.get_content_type() for picture in pictures} <= {"image/jpeg", "image/png"}


def test_text_in_any_script_comes_back_as_it_was_written(letters: dict[str, Letter]) -> None:
    """RFC 2047 in the fields, RFC 2045 section 6.7 in the bodies."""
    letter = letters["ready"]
    letter.subject, letter.text = (
        "Ihr Corvane Skérry: 修理が終わりました ✓",
        "Žluťoučký kůň – “ready”.\n.\n..dots\n",
    )
    letter.person.name = "Žofie O’Brien-Łukasz, the elder"  # type: ignore[union-attr]
    mail = parsed(letter)
    assert mail["Subject"] == letter.subject
    assert mail["To"].addresses[0].display_name == letter.person.name  # type: ignore[union-attr]
    assert next(mail.iter_parts()).get_content().splitlines() == letter.text.splitlines()


def test_an_international_domain_travels_in_its_ascii_form(letters: dict[str, Letter]) -> None:
    """RFC 5890 (IDNA), because the envelope is used without SMTPUTF8 (RFC 6531)."""
    letter = letters["ready"]
    letter.to_address = "orla@bücher.example"
    assert parsed(letter)["To"].addresses[0].domain == "xn--bcher-kva.example"


@pytest.mark.parametrize("line_end", ["\r\n", "\n", "\r", "\u2028", "\x85", "\x0b", "\x01\n"])
def test_nobody_adds_a_header_of_their_own(line_end: str) -> None:
    """RFC 5322 section 2.2; header injection, CWE-93."""
    evil = f"Orla{line_end}Bcc: everybody@example.org{line_end}{line_end}Hello"
    cast = make_cast(name=f"Tidewater{line_end}X-Evil: yes")
    job = cast.book(name=evil, model=f"Skerry{line_end}X-Evil: yes")
    relay.run()
    letter = Letter.objects.get(job=job)
    mail = parsed(letter)
    assert mail["Bcc"] is None
    assert mail["X-Evil"] is None
    assert set(mail.keys()) == set(parsed(letter).keys())
    head = message.build(letter, SENDER).split(b"\r\n\r\n")[0]
    assert all(re.match(rb"[A-Za-z-]+: |[ \t]", line) for line in head.split(b"\r\n"))
    assert not re.search(rb"(?m)^(Bcc|X-Evil)", head)
