from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor

import pytest
import time_machine
from django.db import connection
from django.test import RequestFactory

from portal.limits import client_address, network, take
from portal.models import RateBucket

TEN_TO_ONE = "2026-10-14T12:50:00Z"


@pytest.fixture
def at_a_fixed_time() -> Iterator[time_machine.Traveller]:
    with time_machine.travel(TEN_TO_ONE, tick=False) as clock:
        yield clock


@pytest.mark.django_db(transaction=True)
def test_of_fifty_at_once_exactly_the_limit_passes(at_a_fixed_time: time_machine.Traveller) -> None:
    def knock(_: int) -> bool:
        try:
            return take("a", 7, 60)
        finally:
            connection.close()

    with ThreadPoolExecutor(50) as threads:
        passed = sum(threads.map(knock, range(50)))
    assert passed == 7
    assert RateBucket.objects.get().count == 50


@pytest.mark.django_db
def test_each_key_has_its_own_count(at_a_fixed_time: time_machine.Traveller) -> None:
    assert take("a", 1, 60)
    assert take("b", 1, 60)
    assert not take("a", 1, 60)


@pytest.mark.django_db
def test_a_new_window_begins_from_nothing_and_sweeps_the_old(at_a_fixed_time: time_machine.Traveller) -> None:
    take("a", 1, 60)
    at_a_fixed_time.shift(61)
    assert take("a", 1, 60)
    assert RateBucket.objects.count() == 1


@pytest.mark.django_db
def test_the_same_key_in_two_windows_of_different_length_is_counted_twice(at_a_fixed_time: object) -> None:
    assert take("a", 1, 60)
    assert take("a", 1, 3600)


@pytest.mark.django_db
def test_no_address_or_contact_is_stored() -> None:
    take("find:orla@example.org", 1, 60)
    row = RateBucket.objects.values_list("key_hash", flat=True).get()
    assert "orla" not in row
    assert len(row) == 64


def from_address(address: str, **headers: str) -> object:
    return RequestFactory().get("/", REMOTE_ADDR=address, headers=headers)


def test_a_visitor_cannot_choose_an_address_by_a_header(settings: object) -> None:
    request = from_address("192.0.2.7", **{"X-Forwarded-For": "198.51.100.1"})
    assert client_address(request) == "192.0.2.7"


def test_behind_our_proxy_the_last_entry_is_the_visitor(settings: object) -> None:
    settings.BEHIND_PROXY = True
    request = from_address("127.0.0.1", **{"X-Forwarded-For": "203.0.113.9, 192.0.2.7"})
    assert client_address(request) == "192.0.2.7"


@pytest.mark.parametrize(
    ("address", "one_visitor"),
    [
        ("192.0.2.7", "192.0.2.7"),
        ("2001:db8:1:2:3:4:5:6", "2001:db8:1:2::"),
        ("::ffff:192.0.2.7", "192.0.2.7"),
        ("", ""),
        ("not an address", "not an address"),
    ],
)
def test_one_household_counts_as_one_visitor(address: str, one_visitor: str) -> None:
    assert network(from_address(address)) == one_visitor
