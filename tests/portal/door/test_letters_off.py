import pytest
from django.test import Client

from jobs.actions.contact import want_texts
from jobs.models import Customer
from notifications.preferences import token_for
from tests.cast import Cast

pytestmark = pytest.mark.django_db


@pytest.fixture
def customer(cast: Cast) -> Customer:
    return cast.book().customer


def wants(customer: Customer) -> bool:
    customer.refresh_from_db()
    return customer.wants_progress


def test_looking_changes_nothing(customer: Customer, nobody: Client) -> None:
    answer = nobody.get(f"/letters-off/{token_for(customer)}/")
    assert answer.status_code == 200
    assert wants(customer)


def test_a_mail_program_leaves_letters_out_in_one_step(customer: Customer) -> None:
    """As RFC 8058 section 3.2 has it: no cookie, no CSRF token, no redirect."""
    strict = Client(enforce_csrf_checks=True)
    answer = strict.post(f"/letters-off/{token_for(customer)}/", {"List-Unsubscribe": "One-Click"})
    assert answer.status_code == 200
    assert not answer.cookies
    assert not wants(customer)


def test_it_can_be_pressed_twice(customer: Customer, nobody: Client) -> None:
    for _ in range(2):
        assert nobody.post(f"/letters-off/{token_for(customer)}/").status_code == 200
    assert not wants(customer)


def test_a_person_can_take_the_letters_up_again(customer: Customer, nobody: Client) -> None:
    nobody.post(f"/letters-off/{token_for(customer)}/")
    nobody.post(f"/letters-off/{token_for(customer)}/", {"wants": "1"})
    assert wants(customer)


def test_the_page_does_not_say_whose_it_is(customer: Customer, nobody: Client) -> None:
    page = nobody.get(f"/letters-off/{token_for(customer)}/").content.decode()
    assert not any(word in page for word in ("Orla", "Fennimore", "example.org"))


@pytest.mark.parametrize("change", [lambda token: token[:-1], lambda token: "9" + token, lambda token: "x"])
def test_a_token_that_we_did_not_sign_does_nothing(
    customer: Customer, nobody: Client, change: object
) -> None:
    assert nobody.post(f"/letters-off/{change(token_for(customer))}/").status_code == 404
    assert wants(customer)


def test_nobody_else_is_touched(cast: Cast, customer: Customer, nobody: Client) -> None:
    other = cast.another_book().customer
    nobody.post(f"/letters-off/{token_for(customer)}/")
    assert wants(other)


def test_the_page_shows_how_it_is_so_that_a_blind_press_changes_nothing(nobody, customer):
    page = nobody.get(f"/letters-off/{token_for(customer)}/").content.decode()
    assert 'value="1" checked' in page
    nobody.post(f"/letters-off/{token_for(customer)}/", {"wants": "1"})
    customer.refresh_from_db()
    assert customer.wants_progress


def texts(customer: Customer) -> bool:
    customer.refresh_from_db()
    return customer.wants_texts


def test_texts_end_by_the_same_page(customer: Customer, nobody: Client) -> None:
    want_texts(customer, "+441632960142", True)
    address = f"/letters-off/{token_for(customer)}/"
    assert 'name="texts" value="1" checked' in nobody.get(address).text
    nobody.post(address, {"wants": "1", "asks_texts": "1"})
    assert (texts(customer), wants(customer)) == (False, True)


def test_a_mail_programs_step_is_about_letters_and_leaves_texts_alone(
    customer: Customer, nobody: Client
) -> None:
    want_texts(customer, "+441632960142", True)
    nobody.post(f"/letters-off/{token_for(customer)}/", {"List-Unsubscribe": "One-Click"})
    assert (texts(customer), wants(customer)) == (True, False)


def test_who_has_no_number_here_is_asked_about_letters_alone(customer: Customer, nobody: Client) -> None:
    address = f"/letters-off/{token_for(customer)}/"
    assert "asks_texts" not in nobody.get(address).text
    nobody.post(address, {"wants": "1", "asks_texts": "1", "texts": "1"})
    assert not texts(customer)
