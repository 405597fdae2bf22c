"""Text messages through a real gateway that misbehaves."""

import json
from datetime import date, timedelta
from threading import Barrier, Thread

import phonenumbers
import pytest
from django.db import connection
from django.utils import timezone
from phonenumbers import PhoneNumberFormat, PhoneNumberType

from jobs.actions.linking import find_link
from jobs.models import Customer, Kind, PrivateLink, Workshop
from jobs.working_days import zone_of
from notifications import deliver, outward, ways
from notifications.letters import resend
from notifications.models import DeadAddress, Letter, TextDay, TextGateway
from notifications.sealing import seal
from tests.cast import make_cast
from tests.http_services import other_side
from tests.notifications.scenes import run
from tests.once import made_once

NUMBER = "+441632960142"
BODY = '{"to": "{to}", "text": "{text}", "from": "{sender}"}'


@pytest.fixture
def gateway(settings):
    settings.DEMO = True
    with other_side() as other:
        yield other


@pytest.fixture
def door(cast, gateway):
    """The gateway as the owner set it up."""
    return TextGateway.objects.create(
        url=gateway.url,
        body=BODY,
        header="X-Key: {secret}",
        sealed_secret=seal("s3cret"),
        sender="Tidewater",
    )


@pytest.fixture
def letter(cast, door):
    return made_once(text_about_a_quote, cast)


def text_about_a_quote(cast, number=NUMBER) -> Letter:
    """A quote was sent to somebody who wants texts: the text of it."""
    job = cast.job_at("examining")
    Customer.objects.filter(pk=job.customer_id).update(text_to=number, wants_texts=True)
    cast.post_finding(job)
    cast.send_quote(job)
    run()
    return Letter.objects.get(kind="quote_sent", channel="text")


def sent(letter: Letter) -> Letter:
    deliver.deliver(letter.pk)
    letter.refresh_from_db()
    return letter


def message(gateway) -> dict[str, str]:
    return json.loads(gateway.bodies[-1])


def test_a_text_goes_to_the_number_with_a_link_that_opens_the_page(letter, gateway, client):
    assert sent(letter).state == "sent"
    told = message(gateway)
    assert (told["to"], told["from"]) == (NUMBER, "Tidewater")
    words, link = told["text"].split("\n")
    assert words.startswith("Tidewater Camera Works. Your Corvane Skerry: what we found, and our quote.")
    assert client.get(link.removeprefix("http://localhost:8000")).status_code == 303
    assert client.get(f"/my/{letter.job.shown_ref}/").status_code == 200


def test_the_gateway_is_told_who_we_are_and_which_message_it_is(letter, gateway):
    sent(letter)
    headers = gateway.heard[0].headers
    assert headers["x-key"] == "s3cret"
    assert headers["idempotency-key"] == f'"{letter.uid.hex}"'
    assert headers["content-type"] == "application/json"


def test_what_is_kept_opens_nothing(letter, gateway):
    key = message_key(gateway, sent(letter))
    assert key not in letter.text
    assert key not in str(list(Letter.objects.values())) + str(list(PrivateLink.objects.values()))


def message_key(gateway, letter) -> str:
    return message(gateway)["text"].rpartition("/")[2]


def test_the_gateways_own_name_for_it_is_kept(letter, gateway):
    assert sent(letter).provider_id == "m-1"


@pytest.mark.parametrize(
    ("status", "state", "trouble"),
    [(400, "failed", "permanent"), (500, "waiting", "temporary"), (401, "waiting", "temporary")],
)
def test_a_no_is_tried_again_where_that_can_help(letter, gateway, status, state, trouble):
    gateway.status, gateway.answer = status, b"no such number"
    assert (sent(letter).state, letter.trouble) == (state, trouble)
    assert letter.last_error == f"{status} no such number"


def test_a_number_that_the_gateway_refuses_is_written_to_no_more_and_the_office_hears_of_it(letter, gateway):
    gateway.status, gateway.answer = 422, b"no such number"
    sent(letter)
    assert DeadAddress.objects.get().address == NUMBER
    assert letter.job.entries.filter(kind=Kind.CAME_BACK).count() == 1
    assert ways.address_for(letter.person, "text") == ""
    run()
    told = Letter.objects.get(kind="staff_came_back")
    assert told.subject.startswith("A text to Orla Fennimore was not taken")
    assert "They are told the same by another way." in told.text
    assert "until they type it again on their page" in told.text


def test_a_gateway_that_does_not_know_us_says_nothing_about_the_number(letter, gateway):
    gateway.status = 401
    sent(letter)
    assert not DeadAddress.objects.exists()


def test_a_gateway_that_is_too_busy_is_left_alone_for_as_long_as_it_asks(letter, gateway):
    gateway.status, gateway.headers = 429, {"Retry-After": "600"}
    before = letter.next_attempt_at
    assert (sent(letter).state, letter.trouble) == ("waiting", "throttled")
    assert (letter.next_attempt_at - before).total_seconds() >= 600


@pytest.mark.parametrize("mode", ["drop", "hang"])
def test_no_answer_after_the_whole_message_is_perhaps_sent_and_repeated_under_the_same_key(
    letter, gateway, monkeypatch, mode
):
    monkeypatch.setattr(outward, "TIMEOUT", (1.0, 0.3))
    gateway.mode = mode
    assert sent(letter).state == "ambiguous"
    gateway.mode = "ok"
    Letter.objects.filter(pk=letter.pk).update(next_attempt_at=letter.made_at)
    assert sent(letter).state == "sent"
    first, second = (each.headers["idempotency-key"] for each in gateway.heard)
    assert first == second


def test_a_gateway_that_takes_no_other_text_under_a_key_that_it_knows_says_nothing_about_the_number(
    letter, gateway
):
    """Each try has a private link of its own, so the text of a repeat is another one."""
    gateway.mode = "drop"
    assert sent(letter).state == "ambiguous"
    gateway.mode, gateway.status = "ok", 422
    Letter.objects.filter(pk=letter.pk).update(next_attempt_at=letter.made_at)
    assert (sent(letter).state, letter.doubts) == ("ambiguous", 2)
    assert not DeadAddress.objects.exists()


def test_nor_does_it_after_a_try_that_was_not_taken(letter, gateway):
    gateway.status = 500
    sent(letter)
    gateway.status = 422
    Letter.objects.filter(pk=letter.pk).update(next_attempt_at=letter.made_at)
    assert sent(letter).state == "failed"
    assert not DeadAddress.objects.exists()


def test_what_the_office_sends_by_hand_is_a_new_message_to_the_gateway(letter, gateway):
    sent(letter)
    resend(letter)
    sent(letter)
    resend(letter)
    sent(letter)
    assert len({each.headers["idempotency-key"] for each in gateway.heard}) == 3


@pytest.mark.parametrize("written", [NUMBER, NUMBER[1:], "+44 1632 960 142", "(01632) 960-142"])
def test_a_gateway_that_repeats_the_number_does_not_bring_it_into_the_journal(letter, gateway, written):
    gateway.status, gateway.answer = 400, f'{{"message": "The number {written} is not valid"}}'.encode()
    sent(letter)
    [told] = letter.job.entries.filter(kind=Kind.CAME_BACK)
    assert told.data["said"] == '400 {"message": "The number … is not valid"}'


def test_a_gateway_that_repeats_the_text_gives_no_key_away(letter, gateway, monkeypatch):
    """It is kept nowhere, and the link opens nothing: the text was not taken."""
    post = outward.post

    def echo(url, body, headers, leaving):
        post(url, body, headers, leaving)
        return outward.Answer(400, {}, "bad text: " + json.loads(body)["text"][-90:])

    monkeypatch.setattr("notifications.gateway.post", echo)
    sent(letter)
    key = message_key(gateway, letter)
    [told] = letter.job.entries.filter(kind=Kind.CAME_BACK)
    assert key[:10] not in letter.last_error + told.data["said"]
    assert "bad text" in letter.last_error
    assert find_link(key) is None


def test_a_text_in_doubt_keeps_its_link_because_it_may_have_arrived(letter, gateway):
    gateway.mode = "drop"
    sent(letter)
    assert find_link(message_key(gateway, letter))


def test_a_gateway_that_is_away_costs_nothing(letter, door):
    TextGateway.objects.update(url="http://127.0.0.1:9/send")
    links = PrivateLink.objects.count()
    assert sent(letter).state == "waiting"
    assert TextDay.objects.get().n == 0
    assert PrivateLink.objects.count() == links


def test_a_gateway_that_answers_nonsense_has_taken_it_if_its_status_says_so(letter, gateway):
    gateway.answer = b"\xff\x00<garbage"
    assert (sent(letter).state, letter.provider_id) == ("sent", "")


def test_after_the_most_of_a_day_the_rest_waits(letter, door, gateway):
    TextGateway.objects.update(daily_most=0)
    assert (sent(letter).state, letter.trouble) == ("waiting", "throttled")
    assert gateway.heard == []
    assert "most text messages" in letter.last_error


@pytest.fixture
def at_night(letter):
    """The night lasts for some hours yet, wherever the test runs."""
    now = timezone.localtime(timezone=zone_of(letter.person, Workshop.objects.current()))
    Workshop.objects.update(
        quiet_from=(now - timedelta(hours=1)).time(), quiet_until=(now + timedelta(hours=2)).time()
    )


@pytest.mark.usefixtures("at_night")
def test_a_text_that_comes_to_its_turn_at_night_waits_for_the_morning(letter, gateway):
    before = timezone.now()
    assert sent(letter).state == "waiting"
    assert gateway.heard == []
    assert letter.next_attempt_at >= before + timedelta(hours=1, minutes=59)


@pytest.mark.usefixtures("at_night")
def test_what_the_office_sends_by_hand_goes_at_night_too(letter, gateway):
    Letter.objects.filter(pk=letter.pk).update(by_hand=True)
    assert sent(letter).state == "sent"


def test_a_number_of_another_country_is_written_to_only_where_the_owner_allows_it(cast, door, gateway):
    abroad = phonenumbers.example_number_for_type("DE", PhoneNumberType.MOBILE)
    letter = text_about_a_quote(cast, phonenumbers.format_number(abroad, PhoneNumberFormat.E164))
    assert (sent(letter).state, letter.trouble) == ("failed", "permanent")
    assert gateway.heard == []
    TextGateway.objects.update(countries=["GB", "DE"])
    Letter.objects.filter(pk=letter.pk).update(state="waiting", next_attempt_at=letter.made_at)
    assert sent(letter).state == "sent"


def test_a_secret_of_another_house_is_not_used(letter, gateway):
    TextGateway.objects.update(sealed_secret="gAAAAA-from-elsewhere")
    assert (sent(letter).state, letter.trouble) == ("waiting", "temporary")
    assert gateway.heard == []
    assert "Type it again" in letter.last_error


def test_without_a_gateway_no_text_is_even_written(cast):
    job = cast.book()
    Customer.objects.filter(pk=job.customer_id).update(text_to=NUMBER, wants_texts=True)
    run()
    assert set(Letter.objects.values_list("channel", flat=True)) == {"email"}


@pytest.mark.django_db(transaction=True)
def test_no_transaction_is_open_while_the_gateway_is_spoken_to(settings):
    settings.DEMO = True
    with other_side() as gateway:
        cast = make_cast()
        TextGateway.objects.create(url=gateway.url, body=BODY)
        assert (
            sent(text_about_a_quote(cast)).state == "sent"
        )  # the suite's own guard looks at every connection


@pytest.mark.django_db(transaction=True)
def test_of_many_workers_at_once_exactly_the_most_of_a_day_get_through():
    day, passed, start = date(2026, 11, 27), [], Barrier(8)

    def knock() -> None:
        start.wait()
        passed.extend(TextDay.objects.take(day, 3) for _each in range(2))
        connection.close()

    threads = [Thread(target=knock) for _each in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sum(passed) == 3
    assert TextDay.objects.get().n == 3
