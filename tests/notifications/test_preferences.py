"""The signed token of the one-click address: it names a customer, and nobody can make one up."""

import pytest

from notifications.preferences import customer_of, token_for


@pytest.fixture
def customer(cast):
    return cast.book().customer


def test_a_token_leads_back_to_its_customer(customer):
    assert customer_of(token_for(customer)) == customer


@pytest.mark.parametrize("token", ["", "1", "1.", "1.aaaa", "1.2.3", "\x00", "é.é"])
def test_a_token_that_we_did_not_sign_leads_nowhere(customer, token):
    assert customer_of(token) is None


def test_a_token_for_another_customer_cannot_be_made_from_ones_own(customer):
    number, signature = token_for(customer).split(".")
    assert customer_of(f"{int(number) + 1}.{signature}") is None


def test_a_token_of_somebody_who_is_gone_leads_nowhere(customer):
    token = token_for(customer)
    number, _ = token.split(".")
    assert customer_of(token_for(type(customer)(pk=int(number) + 999))) is None


def test_the_token_is_short_and_needs_no_escaping(customer):
    assert len(token_for(customer)) < 60
    assert token_for(customer).replace(".", "").replace("-", "").replace("_", "").isalnum()
