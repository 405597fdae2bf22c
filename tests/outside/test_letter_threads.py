"""A whole job's letters, as they came out of a real SMTP conversation, make one tree by their headers (RFC 5322 section 3.6.4)."""

from dataclasses import dataclass
from email import message_from_bytes, policy
from email.message import EmailMessage

import pytest
from django.utils import timezone

from jobs.actions import promising, working
from notifications import deliver, relay
from notifications.models import Letter
from tests.cast import Cast, make_cast
from tests.services import Sink

pytestmark = pytest.mark.django_db


def send_what_is_due() -> None:
    """Read the journal, and let all waits be over."""
    relay.run()
    Letter.objects.filter(state="waiting").update(next_attempt_at=timezone.now())
    deliver.deliver_due()


def to_the_customer(sink: Sink) -> list[EmailMessage]:
    mails = [message_from_bytes(raw, policy=policy.default) for raw in sink.letters]
    return [mail for mail in mails if isinstance(mail, EmailMessage) and "orla@" in str(mail["To"])]


@dataclass(frozen=True)
class Conversation:
    """What the customer received, and the Message-IDs of letters that went inside others."""

    mails: list[EmailMessage]
    carried: set[str]


_told: list[Conversation] = []


@pytest.fixture
def six(request: pytest.FixtureRequest) -> Conversation:
    """Told once for the whole run."""
    if not _told:
        sink = request.getfixturevalue("mail_to_sink")
        tell()
        carried = set(Letter.objects.filter(state="carried").values_list("message_id", flat=True))
        _told.append(Conversation(to_the_customer(sink), carried))
    return _told[0]


def tell() -> None:
    """Booked; arrived with a finding, gathered; the quote; agreed; a part and new dates, gathered; ready."""
    cast = make_cast()
    job = cast.book()
    send_what_is_due()
    cast.job_at("examining", job)
    cast.post_finding(job)
    send_what_is_due()
    quoted(cast, job)
    working.await_part(job, "Rewind fork", cast.technician)
    today = timezone.localdate()
    promising.promise(job, today, today, cast.technician)
    send_what_is_due()
    working.start_work(job, cast.technician)
    working.start_proving(job, cast.technician)
    working.prove(job, [working.Tested("transport", True)], cast.technician)
    send_what_is_due()


def quoted(cast: Cast, job: object) -> None:
    sent = cast.send_quote(job)  # type: ignore[arg-type]
    send_what_is_due()
    cast.agree(sent)
    send_what_is_due()


def test_there_are_six_although_more_was_told(six: Conversation) -> None:
    assert len(six.mails) == 6
    assert len(six.carried) >= 2


def test_they_are_one_tree(six: Conversation) -> None:
    """Each has one parent that came before it; all lead to the first."""
    root, *rest = six.mails
    assert root["In-Reply-To"] is None
    assert root["References"] is None
    seen = [root["Message-ID"]]
    for mail in rest:
        assert mail["In-Reply-To"] in seen
        chain = mail["References"].split()
        assert chain[0] == root["Message-ID"]
        assert chain[-1] == mail["In-Reply-To"]
        seen.append(mail["Message-ID"])
    assert len(set(seen)) == 6


def test_each_answers_the_one_before(six: Conversation) -> None:
    before = [mail["Message-ID"] for mail in six.mails]
    assert [mail["In-Reply-To"] for mail in six.mails[1:]] == before[:-1]


def test_no_header_names_a_letter_that_was_only_carried(six: Conversation) -> None:
    named = {identity for mail in six.mails for identity in str(mail["References"]).split()}
    assert not six.carried & named


def test_subjects_share_their_stem_and_the_reference(six: Conversation) -> None:
    """Programs that go by subjects keep them together too (common practice, no source)."""
    [ref] = {mail["Subject"].rpartition("(")[2] for mail in six.mails}
    assert ref.endswith(")")
    assert all("Corvane Skerry: " in mail["Subject"] for mail in six.mails)
