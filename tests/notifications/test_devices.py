"""Devices that take notices: what is kept, and what is refused."""

import pytest

from jobs.actions.refusals import Refused
from jobs.models import Customer
from notifications import devices
from notifications.models import PushSubscription
from tests.cast import make_cast
from tests.outside.test_web_push import Browser, base64url

pytestmark = pytest.mark.django_db
SERVICE = "https://updates.push.services.mozilla.com/wpush/v2/abc"


def keys() -> tuple[str, str]:
    """p256dh and auth of a browser, as the page sends them."""
    made = Browser()
    return made.p256dh, base64url(made.auth)


@pytest.fixture
def customer():
    return make_cast().book().customer


def test_a_browser_is_kept_once_however_often_it_comes(customer):
    for _twice in range(2):
        devices.take_up(customer, SERVICE, *keys())
    assert customer.subscriptions.count() == 1


def test_padded_keys_are_taken_too(customer):
    p256dh, auth = keys()
    padded = auth + "=" * (-len(auth) % 4)
    assert devices.take_up(customer, SERVICE, p256dh, padded).auth == padded


def test_a_shared_browser_takes_notices_for_who_asked_last(customer):
    other = somebody_else()
    devices.take_up(customer, SERVICE, *keys())
    devices.take_up(other, SERVICE, *keys())
    assert [each.customer for each in PushSubscription.objects.all()] == [other]


def somebody_else() -> Customer:
    return Customer.objects.create(name="Anselm Okoro-Byrne", email="anselm@example.net")


def test_the_eleventh_device_takes_the_place_of_the_oldest(customer):
    for n in range(11):
        devices.take_up(customer, f"{SERVICE}{n}", *keys())
    kept = [each.endpoint.removeprefix(SERVICE) for each in customer.subscriptions.order_by("pk")]
    assert kept == [str(n) for n in range(1, 11)]


@pytest.mark.parametrize("endpoint", ["", "https://192.168.0.1/push", "https://example.org/push"])
def test_an_address_that_is_no_push_service_is_refused(customer, endpoint):
    with pytest.raises(Refused):
        devices.take_up(customer, endpoint, *keys())
    assert not PushSubscription.objects.exists()


FORGED = {
    "nothing": ("", ""),
    "no base64": ("*" * 87, "*" * 22),
    "a point too short": (base64url(b"\x04" + b"\x01" * 63), None),
    "a point too long": (base64url(b"\x04" + b"\x01" * 65), None),
    "a point beside the curve": (base64url(b"\x04" + b"\x01" * 64), None),
    "a compressed point": (base64url(b"\x02" + b"\x01" * 32), None),
    "a secret too short": (None, base64url(b"x" * 15)),
    "a secret too long": (None, base64url(b"x" * 17)),
    "other letters": (None, "ключключключключключкл"),
}


@pytest.mark.parametrize("forged", FORGED.values(), ids=FORGED)
def test_forged_keys_are_refused(customer, forged):
    good = keys()
    with pytest.raises(Refused):
        devices.take_up(
            customer,
            SERVICE,
            *(bad if bad is not None else fine for bad, fine in zip(forged, good, strict=True)),
        )
    assert not PushSubscription.objects.exists()


def test_devices_are_let_go_one_by_one_or_all_but_this_one(customer):
    for n in range(3):
        devices.take_up(customer, f"{SERVICE}{n}", *keys())
    devices.let_go(customer, f"{SERVICE}0")
    here = customer.subscriptions.last()
    devices.let_all_go(customer, keep=[here.pk])
    assert list(customer.subscriptions.all()) == [here]


def test_nobody_lets_go_the_devices_of_somebody_else(customer):
    devices.take_up(customer, SERVICE, *keys())
    other = somebody_else()
    devices.let_go(other, SERVICE)
    devices.let_all_go(other)
    assert customer.subscriptions.count() == 1
