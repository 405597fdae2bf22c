from collections.abc import Iterator
from pathlib import Path

import pytest
from django.test import Client

from jobs.models import Staff, Workshop
from notifications.mailbox import mailbox
from notifications.models import MailAccount
from portal import state
from tests.services import Sink, free_port

pytestmark = pytest.mark.django_db

KEY = "the-one-time-key-of-this-test"
FILLED = {
    "key": KEY,
    "name": "Tidewater Camera Works",
    "place": "Saltmere",
    "address": "1 Slipway\nSaltmere",
    "telephone": "01632 960100",
    "email": "bench@example.org",
    "hours": "Tuesday to Saturday, 10 to 5",
    "time_zone": "Europe/Dublin",
    "currency": "EUR",
    "tax_mode": "included",
    "tax_name": "VAT",
    "tax_rate_bp": "23 %",
    "full_name": "Hester Quill",
    "username": "hester",
    "password": "quiet brass hinge",
    "again": "quiet brass hinge",
}


@pytest.fixture(autouse=True)
def key_file() -> Iterator[Path]:
    path = state.var_dir() / "first-run-key"
    path.unlink(missing_ok=True)
    state.keep_secret(path, KEY)
    yield path
    path.unlink(missing_ok=True)


def test_an_empty_workshop_is_opened(nobody: Client, key_file: Path) -> None:
    answer = nobody.post("/first-run/", FILLED)
    assert (answer.status_code, answer["Location"]) == (303, "/office/")
    house, owner = Workshop.objects.get(), Staff.objects.get()
    assert (house.name, house.currency, house.tax_rate_bp, house.time_zone) == (
        "Tidewater Camera Works",
        "EUR",
        2300,
        "Europe/Dublin",
    )
    assert (owner.called, owner.is_owner, owner.check_password("quiet brass hinge")) == (
        "Hester Quill",
        True,
        True,
    )
    assert not key_file.exists()


def test_the_owner_is_logged_in_and_the_page_is_gone(nobody: Client) -> None:
    nobody.post("/first-run/", FILLED)
    assert nobody.get("/office/").status_code == 200
    assert nobody.get("/first-run/").status_code == 404
    assert Client().post("/first-run/", {**FILLED, "username": "second"}).status_code == 404


@pytest.mark.parametrize("typed", ["", "not the key", KEY[:-1], KEY + "x"])
def test_without_the_key_nobody_becomes_the_owner(nobody: Client, typed: str) -> None:
    assert nobody.post("/first-run/", {**FILLED, "key": typed}).status_code == 422
    assert not Workshop.objects.exists()
    assert not Staff.objects.exists()


def test_without_a_key_file_no_key_is_right(nobody: Client, key_file: Path) -> None:
    key_file.unlink()
    assert nobody.post("/first-run/", {**FILLED, "key": ""}).status_code == 422
    assert nobody.post("/first-run/", {**FILLED, "key": "None"}).status_code == 422


def test_the_key_cannot_be_guessed_quickly(nobody: Client) -> None:
    codes = [nobody.post("/first-run/", {**FILLED, "key": f"guess {n}"}).status_code for n in range(11)]
    assert codes[-1] == 429


@pytest.mark.parametrize(
    ("slip", "sentence"),
    [
        ({"name": ""}, "What is the workshop called?"),
        ({"currency": "XXX"}, "Choose one of these."),
        ({"currency": "DEM"}, "Choose one of these."),
        ({"time_zone": "Europe/Saltmere"}, "Choose one of these."),
        ({"tax_rate_bp": "twenty"}, "Write the rate as a number"),
        ({"tax_rate_bp": "120"}, "between 0 and 100"),
        ({"tax_rate_bp": ""}, "How many per cent is it?"),
        ({"again": "quiet brass hinges"}, "The two are not the same."),
        ({"password": "bench@example.org", "again": "bench@example.org"}, "too similar"),
        ({"host": "smtp.example.org"}, "Which address do letters come from?"),
    ],
)
def test_a_slip_is_told_beside_its_field_and_nothing_is_lost(
    nobody: Client, slip: dict[str, str], sentence: str
) -> None:
    answer = nobody.post("/first-run/", FILLED | slip)
    page = answer.content.decode()
    assert answer.status_code == 422
    assert sentence in page
    assert "Saltmere" in page
    assert "01632 960100" in page
    assert not Workshop.objects.exists()


def test_no_tax_needs_no_name_and_no_rate(nobody: Client) -> None:
    answer = nobody.post("/first-run/", FILLED | {"tax_mode": "none", "tax_name": "", "tax_rate_bp": ""})
    assert answer.status_code == 303


def mail(sink: Sink) -> dict[str, str]:
    return {
        "host": "127.0.0.1",
        "port": str(sink.controller.port),
        "security": "none",
        "from_address": "bench@example.org",
    }


def test_a_test_letter_goes_out_and_nothing_is_kept(nobody: Client, sink: Sink) -> None:
    answer = nobody.post("/first-run/", FILLED | mail(sink) | {"test": "1"})
    assert answer.status_code == 200
    assert "The letter went out." in answer.content.decode()
    assert sink.recipients == ["bench@example.org"]
    assert not Workshop.objects.exists()


def test_what_the_mail_server_says_is_told_in_words(nobody: Client, sink: Sink) -> None:
    sink.behave("5xx")
    page = nobody.post("/first-run/", FILLED | mail(sink) | {"test": "1"}).content.decode()
    assert "The letter did not go." in page
    assert "nobody of that name here" in page
    assert "does not take letters for this address" in page
    assert "quiet brass hinge" in page


def test_a_mail_server_that_is_not_there_is_told_in_words(nobody: Client) -> None:
    where = {
        "host": "127.0.0.1",
        "port": str(free_port()),
        "security": "none",
        "from_address": "bench@example.org",
    }
    page = nobody.post("/first-run/", FILLED | where | {"test": "1"}).content.decode()
    assert "not at this port" in page


def test_a_stranger_cannot_send_letters_through_the_test(nobody: Client, sink: Sink) -> None:
    nobody.post("/first-run/", FILLED | mail(sink) | {"test": "1", "key": "guess"})
    assert not sink.letters


def test_the_mailbox_is_kept_and_its_password_is_sealed(nobody: Client, sink: Sink) -> None:
    nobody.post("/first-run/", FILLED | mail(sink) | {"user": "bench", "mail_password": "a mailbox secret"})
    assert mailbox().password == "a mailbox secret"
    assert "secret" not in MailAccount.objects.get().sealed_password


def test_of_two_first_runs_at_once_one_wins() -> None:
    from jobs.actions.house import open_house
    from jobs.actions.refusals import Refused

    Workshop.objects.create(pk=1, name="First", place="Saltmere", address="1 Slipway")
    with pytest.raises(Refused):
        open_house({"name": "Second"}, username="b", full_name="B", email="", password="quiet brass hinge")
    assert not Staff.objects.exists()


@pytest.mark.parametrize("path", ["/", "/book/"])
def test_before_the_first_run_customers_read_that_it_is_not_open_yet(nobody: Client, path: str) -> None:
    answer = nobody.get(path)
    assert answer.status_code == 503
    assert "not open yet" in answer.content.decode()


def test_from_now_on_pages_speak_of_the_workshops_day(nobody: Client) -> None:
    """In Auckland it is tomorrow already."""
    import time_machine

    nobody.post("/first-run/", FILLED | {"time_zone": "Pacific/Auckland"})
    with time_machine.travel("2026-10-14T20:00:00Z", tick=False):
        assert "15 October" in nobody.get("/").content.decode()


def test_a_command_prints_the_key_until_the_workshop_is_open(
    nobody: Client, capsys: pytest.CaptureFixture[str]
) -> None:
    from django.core.management import CommandError, call_command

    call_command("first_run_key")
    assert KEY in capsys.readouterr().out
    nobody.post("/first-run/", FILLED)
    with pytest.raises(CommandError):
        call_command("first_run_key")
