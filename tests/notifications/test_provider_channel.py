"""Letters by a provider: what it is given by django-anymail's own test backend, and two real backends over a real HTTP conversation."""

import base64
import json
import threading
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from urllib.parse import parse_qs

import pytest
from django.core import mail
from django.core.checks import run_checks

from jobs.models import PrivateLink
from jobs.words import Stage
from notifications import deliver, letters, message, relay, ways
from notifications.channels.base import Undelivered
from notifications.models import Letter
from tests.notifications.scenes import told_of_a_quote
from tests.once import made_once
from tests.services import free_port

TOKEN = "a-server-token"


class Api:
    """A provider's HTTP interface as far as we use it: keeps what it is given, answers what it is told to."""

    def __init__(self) -> None:
        self.given: list[tuple[str, dict[str, str], bytes]] = []
        self.answers: list[tuple[int, dict[str, str], bytes] | str] = []
        api = self

        class Desk(BaseHTTPRequestHandler):
            def do_POST(self) -> None:
                body = self.rfile.read(int(self.headers["Content-Length"]))
                api.given.append((self.path, dict(self.headers), body))
                answer = api.answers.pop(0)
                if answer == "hang up":
                    self.connection.close()
                    return
                assert not isinstance(answer, str)
                status, headers, said = answer
                self.send_response(status)
                for name, value in {**headers, "Content-Length": str(len(said))}.items():
                    self.send_header(name, value)
                self.end_headers()
                self.wfile.write(said)

            def log_message(self, *_args: object) -> None:
                pass

        self.server = ThreadingHTTPServer(("127.0.0.1", 0), Desk)
        threading.Thread(
            target=self.server.serve_forever, kwargs={"poll_interval": 0.05}, daemon=True
        ).start()

    @property
    def url(self) -> str:
        return f"http://127.0.0.1:{self.server.server_address[1]}/"

    def answer(self, status: int, said: dict[str, object] | None = None, **headers: str) -> None:
        named = {name.replace("_", "-"): value for name, value in headers.items()}
        self.answers.append((status, named, json.dumps(said or {}).encode()))

    def takes_it(self) -> None:
        told = {
            "ErrorCode": 0,
            "Message": "OK",
            "MessageID": "their-name",
            "SubmittedAt": "2026-11-03T10:00:00Z",
            "To": "orla@example.org",
        }
        self.answer(200, told)

    def close(self) -> None:
        self.server.shutdown()
        self.server.server_close()


@pytest.fixture
def api(settings):
    api = Api()
    settings.MAIL_PROVIDER = "postmark"
    settings.ANYMAIL = {
        "POSTMARK_SERVER_TOKEN": TOKEN,
        "POSTMARK_API_URL": api.url,
        "REQUESTS_TIMEOUT": 5,
        "WEBHOOK_SECRET": "a:b",
    }
    yield api
    api.close()


@pytest.fixture
def letter(cast):
    return made_once(told_of_a_quote, cast)


def send(letter: Letter) -> Letter:
    deliver.deliver(letter.pk)
    letter.refresh_from_db()
    return letter


# --- what it is given ------------------------------------------------------------------------------------------------


@pytest.fixture
def given(letter, settings, mailoutbox):
    """The letter as django-anymail's test backend got it."""
    settings.MAIL_PROVIDER = "test"
    send(letter)
    (one,) = mail.outbox
    return one


def test_it_says_what_the_letter_by_smtp_says(given, letter):
    params = given.anymail_test_params
    assert params["subject"] == letter.subject
    assert params["to"][0].addr_spec == "orla@example.org"
    assert params["reply_to"][0].addr_spec == "bench@tidewater.example"
    assert "Dear Orla" in params["text_body"] or "Orla" in params["text_body"]
    assert "<html" in params["html_body"]
    assert "/open/" in params["text_body"]


def test_its_identifiers_and_its_words_to_robots_stay(given, letter):
    headers = given.anymail_test_params["extra_headers"]
    assert headers["Message-ID"] == letter.message_id
    assert headers["References"].split() == letter.references.split()
    assert headers["Auto-Submitted"] == "auto-generated"
    assert headers["List-Id"].startswith("<letters.")


def test_nothing_is_tracked_and_our_own_name_goes_along(given, letter):
    params = given.anymail_test_params
    assert params["track_opens"] is False
    assert params["track_clicks"] is False
    assert params["metadata"] == {"letter": letter.uid.hex}


def test_a_letter_that_can_be_left_out_offers_that_in_one_click(cast, settings, mailoutbox):
    settings.MAIL_PROVIDER = "test"
    cast.job_at(Stage.ARRIVED)
    relay.run()
    letter = Letter.objects.get(kind="arrived")
    Letter.objects.filter(pk=letter.pk).update(next_attempt_at=letter.made_at)
    send(letter)
    headers = mail.outbox[0].anymail_test_params["extra_headers"]
    assert headers["List-Unsubscribe-Post"] == "List-Unsubscribe=One-Click"
    assert headers["List-Unsubscribe"].startswith("<http")
    assert " " not in headers["List-Unsubscribe"]


def test_pictures_stay_inside_and_documents_behind(cast, settings, mailoutbox):
    from tests.notifications.scenes import add_photo

    settings.MAIL_PROVIDER = "test"
    job = cast.job_at(Stage.EXAMINING)
    add_photo(job, "arrival")
    cast.post_finding(job)
    sent = cast.send_quote(job)
    cast.agree(sent)
    relay.run()
    send(Letter.objects.get(kind="decided"))
    enclosed = mail.outbox[0].anymail_test_params["attachments"]
    assert [one.mimetype for one in enclosed if not one.inline] == ["application/pdf"]
    assert enclosed[-1].content.startswith(b"%PDF")


def test_what_the_provider_calls_it_is_kept(api, letter):
    api.takes_it()
    assert send(letter).state == Letter.State.SENT
    assert letter.provider_id == "their-name"


def test_it_goes_over_the_wire_with_its_headers(api, letter):
    api.takes_it()
    send(letter)
    ((path, headers, body),) = api.given
    told = json.loads(body)
    assert path.startswith("/email")
    assert headers["X-Postmark-Server-Token"] == TOKEN
    assert {"Name": "Message-ID", "Value": letter.message_id} in told["Headers"]
    assert told["TrackOpens"] is False
    assert told["TrackLinks"] == "None"


def test_another_provider_gets_the_same_letter(letter, settings):
    api = Api()
    settings.MAIL_PROVIDER = "mailgun"
    settings.ANYMAIL = {
        "MAILGUN_API_KEY": "k",
        "MAILGUN_API_URL": api.url,
        "MAILGUN_SENDER_DOMAIN": "example.org",
    }
    api.answer(200, {"id": "<their-name@example.org>", "message": "Queued. Thank you."})
    assert send(letter).state == Letter.State.SENT
    ((path, headers, body),) = api.given
    assert path == "/example.org/messages"
    assert headers["Authorization"] == "Basic " + base64.b64encode(b"api:k").decode()
    fields = {name.lower(): values for name, values in parse_qs(body.decode()).items()}
    assert fields["h:message-id"] == [letter.message_id]
    assert letter.provider_id == "<their-name@example.org>"
    api.close()


# --- what can go wrong -----------------------------------------------------------------------------------------------

# As the provider words it, whose words django-anymail reads.
INACTIVE = (
    "You tried to send to a recipient that has been marked as inactive.\n"
    "Found inactive addresses: orla@example.org.\n"
    "Inactive recipients are ones that have generated a hard bounce or a spam complaint."
)
REFUSED = {"ErrorCode": 406, "Message": INACTIVE}


@pytest.mark.parametrize(
    ("status", "said", "state", "trouble"),
    [
        (401, {"ErrorCode": 10, "Message": "No server token"}, "waiting", "temporary"),
        (429, {}, "waiting", "throttled"),
        (500, {}, "waiting", "temporary"),
        (503, {}, "waiting", "temporary"),
        (502, {}, "ambiguous", "ambiguous"),
        (504, {}, "ambiguous", "ambiguous"),
        (422, {"ErrorCode": 402, "Message": "Invalid JSON"}, "failed", "permanent"),
        (422, {"ErrorCode": 1, "Message": "The sender address is not confirmed"}, "waiting", "temporary"),
        (400, {"ErrorCode": 1, "Message": "Your account has been suspended"}, "waiting", "temporary"),
        (422, {"ErrorCode": 1, "Message": "Recipient domain not found"}, "failed", "permanent"),
    ],
)
def test_what_an_answer_means(api, letter, status, said, state, trouble):
    api.answer(status, said)
    send(letter)
    assert (letter.state, letter.trouble) == (state, trouble)


@pytest.mark.parametrize("status", [422, 500])
def test_the_private_link_of_a_letter_that_was_not_taken_opens_nothing(api, letter, status):
    api.answer(status, {"ErrorCode": 402, "Message": "no"})
    send(letter)
    assert not PrivateLink.objects.exists()


def test_the_private_link_of_a_letter_in_doubt_stays(api, letter):
    api.answers.append("hang up")
    send(letter)
    assert PrivateLink.objects.live().count() == 1


def test_a_provider_that_hangs_up_may_have_the_letter(api, letter):
    api.answers.append("hang up")
    assert send(letter).state == Letter.State.AMBIGUOUS


def test_a_provider_that_cannot_be_reached_has_nothing(api, letter, settings):
    settings.ANYMAIL = settings.ANYMAIL | {"POSTMARK_API_URL": f"http://127.0.0.1:{free_port()}/"}
    send(letter)
    assert (letter.state, letter.trouble) == ("waiting", "temporary")


def test_an_answer_that_cannot_be_read_leaves_it_in_doubt(api, letter):
    api.answers.append((200, {}, b"not json"))
    assert send(letter).state == Letter.State.AMBIGUOUS


def test_an_address_that_the_provider_refuses_is_final(api, letter):
    api.answer(422, REFUSED)
    assert send(letter).state == Letter.State.FAILED
    assert ways.is_dead("email", "orla@example.org")


def test_an_answer_that_says_neither_yes_nor_no_leaves_it_in_doubt(api, letter):
    api.answer(422, {"ErrorCode": 406, "Message": "something new"})
    assert send(letter).state == Letter.State.AMBIGUOUS


def test_neither_the_letter_nor_the_key_stands_in_the_error(api, letter):
    api.answer(500, {"Message": "sorry"})
    send(letter)
    assert "/open/" not in letter.last_error
    assert TOKEN not in letter.last_error
    assert "sorry" in letter.last_error


def test_a_missing_key_of_the_provider_is_told_and_tried_again(letter, settings):
    settings.MAIL_PROVIDER, settings.ANYMAIL = "postmark", {}
    send(letter)
    assert (letter.state, letter.trouble) == ("waiting", "temporary")
    assert "POSTMARK_SERVER_TOKEN" in letter.last_error


def test_a_line_end_in_a_subject_never_becomes_a_header(letter, settings, mailoutbox):
    settings.MAIL_PROVIDER = "test"
    Letter.objects.filter(pk=letter.pk).update(subject="Hello\r\nBcc: x@example.net")
    send(letter)
    params = mail.outbox[0].anymail_test_params
    assert params["subject"] == "Hello Bcc: x@example.net"
    assert "Bcc" not in params["extra_headers"]


def test_a_test_letter_goes_by_the_provider_too(api, cast):
    api.takes_it()
    letters.send_test_letter(None, "orla@example.org")
    assert len(api.given) == 1


def test_its_failure_is_told(api, cast):
    api.answer(401, {"Message": "No server token"})
    with pytest.raises(Undelivered, match="No server token"):
        letters.send_test_letter(None, "orla@example.org")


def test_our_message_survives_being_taken_apart(letter):
    from notifications.channels.provider import as_django

    raw = message.build(letter, "bench@tidewater.example")
    assert as_django(raw).message()["Message-ID"] == letter.message_id


# --- checks ----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "anymail", "reply_address", "found"),
    [
        ("", {}, "", []),
        ("postmark", {"WEBHOOK_SECRET": "a:b"}, "reply@in.example.org", []),
        ("nobody", {"WEBHOOK_SECRET": "a:b"}, "", ["portal.E060"]),
        ("../test", {"WEBHOOK_SECRET": "a:b"}, "", ["portal.E060"]),
        ("postmark", {}, "", ["portal.E061"]),
        ("postmark", {"WEBHOOK_SECRET": "half"}, "", ["portal.E061"]),
        ("", {}, "reply@in.example.org", ["portal.E062"]),
    ],
)
def test_a_provider_that_cannot_be_used_is_said_at_the_start(settings, name, anymail, reply_address, found):
    settings.MAIL_PROVIDER, settings.ANYMAIL, settings.REPLY_ADDRESS = name, anymail, reply_address
    assert [problem.id for problem in run_checks(tags=["portal"])] == found
