"""A wrong address is set right: whoever read letters there hears nothing more."""

import pytest

from jobs.actions.contact import want_texts
from jobs.models import Customer
from jobs.words import Way
from notifications import relay, ways
from notifications.correcting import correct_address
from notifications.models import DeadAddress, Letter, PushSubscription, TextGateway

STRANGERS = "+441632960155"
NEW = "new@example.org"


@pytest.fixture
def job(cast):
    """A stranger opened a letter, and asked for texts and notices."""
    TextGateway.objects.create(url="https://gateway.example/send", body="{}")
    job = cast.job_at("quoted")
    want_texts(job.customer, STRANGERS, wants=True)
    PushSubscription.objects.create(customer=job.customer, endpoint="https://push.example/1")
    return job


def test_a_stranger_at_the_old_address_gets_no_texts_and_no_notices(cast, job):
    correct_address(job.customer, NEW, cast.owner)
    customer = Customer.objects.get(pk=job.customer_id)
    assert (customer.email, customer.text_to, customer.wants_texts) == (NEW, "", False)
    assert not customer.subscriptions.exists()
    relay.run()
    assert set(Letter.objects.to_customers().values_list("channel", "to_address")) == {("email", NEW)}


def test_the_same_address_again_leaves_texts_and_devices_as_they_are(cast, job):
    correct_address(job.customer, job.customer.email, cast.owner)
    customer = Customer.objects.get(pk=job.customer_id)
    assert (customer.text_to, customer.wants_texts) == (STRANGERS, True)
    assert customer.subscriptions.exists()


def test_an_address_that_somebody_says_is_right_is_no_longer_dead(cast, job):
    DeadAddress.objects.create(way=Way.EMAIL, address=NEW, why="bounced")
    correct_address(job.customer, NEW, cast.owner)
    assert not ways.is_dead(Way.EMAIL, NEW)
