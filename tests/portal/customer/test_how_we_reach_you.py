"""The customer's choices: letters, text messages, notices, and where they are."""

import phonenumbers
import pytest
from phonenumbers import PhoneNumberFormat, PhoneNumberType

from jobs.words import Way
from notifications.models import DeadAddress, PushSubscription, TextGateway
from notifications.sealing import seal
from portal.state import draw_vapid_key
from tests.notifications.test_devices import SERVICE, keys
from tests.portal.customer.pages import follow, to


def example(country: str, kind: int) -> str:
    """A number that nobody has, as phonenumbers itself gives it for an example."""
    return phonenumbers.format_number(
        phonenumbers.example_number_for_type(country, kind), PhoneNumberFormat.E164
    )


@pytest.fixture
def gateway(db):
    return TextGateway.objects.create(
        url="https://gateway.example.org/send", body="{}", sealed_secret=seal("s3cret")
    )


@pytest.fixture
def job(cast):
    return cast.book()


@pytest.fixture
def visitor(job, as_customer, settings):
    settings.VAPID_KEY = draw_vapid_key()
    return as_customer(job)


def person(job):
    job.customer.refresh_from_db()
    return job.customer


def keep(visitor, job, **typed):
    return visitor.post(to("my_settings", job), {"telephone": "", "address": person(job).address, **typed})


def test_texts_are_offered_only_where_the_house_can_send_them(visitor, job, cast):
    assert "Number for text messages" not in visitor.get(to("my_settings", job)).text
    TextGateway.objects.create(url="https://gateway.example.org/send", body="{}")
    assert "Number for text messages" in visitor.get(to("my_settings", job)).text


@pytest.mark.usefixtures("gateway")
@pytest.mark.parametrize("typed", ["01632 960142", "+44 1632 960142", "(01632) 960-142"])
def test_a_number_is_kept_as_a_gateway_needs_it(visitor, job, typed):
    keep(visitor, job, wants_texts="on", text_to=typed)
    assert (person(job).text_to, person(job).wants_texts) == ("+441632960142", True)
    assert "+44 1632 960142" in visitor.get(to("my_settings", job)).text


@pytest.mark.usefixtures("gateway")
@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("", "Write the number that takes text messages."),
        ("ring me", "does not look like a telephone number"),
        ("01632 960142\r\nX-More: 1", "does not look like a telephone number"),
        (example("GB", PhoneNumberType.FIXED_LINE), "takes no text messages"),
        (example("DE", PhoneNumberType.MOBILE), "to these countries: United Kingdom."),
    ],
)
def test_a_number_that_cannot_be_used_is_said_and_nothing_is_changed(visitor, job, typed, said):
    response = keep(visitor, job, wants_texts="on", text_to=typed, address="9 High Street")
    assert response.status_code == 422
    assert said in response.text
    assert "9 High Street" in response.text
    assert (person(job).text_to, person(job).wants_texts) == ("", False)
    assert person(job).address == "3 Quay Lane\nSaltmere"


@pytest.mark.usefixtures("gateway")
def test_a_number_that_texts_came_back_from_is_asked_about_and_kept_again(visitor, job):
    keep(visitor, job, wants_texts="on", text_to="01632 960142")
    DeadAddress.objects.create(way=Way.TEXT, address="+441632960142", why="bounced")
    assert "Is the number right?" in visitor.get(to("my_settings", job)).text
    keep(visitor, job, wants_texts="on", text_to="01632 960142")
    assert not DeadAddress.objects.exists()


@pytest.mark.usefixtures("gateway")
def test_texts_end_when_the_tick_is_taken_away(visitor, job):
    keep(visitor, job, wants_texts="on", text_to="01632 960142")
    keep(visitor, job, text_to="01632 960142")
    assert (person(job).text_to, person(job).wants_texts) == ("+441632960142", False)


def test_where_they_are_is_chosen_from_lists(visitor, job):
    keep(visitor, job, time_zone="Europe/Berlin", holidays_in="DE")
    assert (person(job).time_zone, person(job).holidays_in) == ("Europe/Berlin", "DE")
    assert '<option value="DE" selected>Germany</option>' in visitor.get(to("my_settings", job)).text


@pytest.mark.parametrize(("zone", "place"), [("Europe/Saltmere", ""), ("", "XX"), ("", "__doc__")])
def test_a_place_that_is_not_in_the_lists_changes_nothing(visitor, job, zone, place):
    response = keep(visitor, job, time_zone=zone, holidays_in=place, address="9 High Street")
    assert response.status_code == 422
    assert "Choose one of these." in response.text
    assert person(job).address == "3 Quay Lane\nSaltmere"


def test_a_region_that_the_workshop_noted_stays_chosen(visitor, job, cast):
    type(job.customer).objects.update(holidays_in="DE-BY")
    assert '<option value="DE-BY" selected>' in visitor.get(to("my_settings", job)).text
    assert keep(visitor, job, holidays_in="DE-BY").status_code == 303


# --- notices ---------------------------------------------------------------------------------------------------------
def noticed(visitor, job, do="on", endpoint=SERVICE, p256dh=None, auth=None):
    point, secret = keys()
    told = {"do": do, "endpoint": endpoint, "p256dh": p256dh or point, "auth": auth or secret}
    return visitor.post(to("my_notices", job), told)


def test_a_device_gets_notices_from_now_on(visitor, job):
    assert "This device gets notices from now on." in follow(visitor, noticed(visitor, job))
    assert PushSubscription.objects.get().customer == job.customer
    page = visitor.get(to("my_settings", job)).text
    assert 'data-here="yes"' in page
    assert "One device of yours gets notices." in page


def test_another_device_of_theirs_does_not_think_it_gets_them(visitor, job, as_customer):
    noticed(visitor, job)
    assert 'data-here="no"' in as_customer(job).get(to("my_settings", job)).text


def test_a_device_that_is_done_with_notices_gets_no_more(visitor, job):
    noticed(visitor, job)
    assert "This device gets no more notices." in follow(visitor, noticed(visitor, job, do="off"))
    assert not PushSubscription.objects.exists()


def test_all_notices_end_with_one_press_and_without_a_script(visitor, job):
    for n in range(3):
        noticed(visitor, job, endpoint=f"{SERVICE}{n}")
    visitor.post(to("my_notices", job), {"do": "none"})
    assert not PushSubscription.objects.exists()


@pytest.mark.parametrize(
    "typed",
    [
        {},
        {"do": "everything"},
        {"do": "on"},
        {"do": "on", "endpoint": SERVICE, "p256dh": "x", "auth": "y"},
        {"do": "on", "endpoint": "https://10.0.0.1/push", "p256dh": "x", "auth": "y"},
        {"do": "on", "endpoint": "https://example.org/" + "a" * 800},
    ],
)
def test_what_no_browser_says_is_refused(visitor, job, typed):
    response = visitor.post(to("my_notices", job), typed)
    assert response.status_code == 422
    assert 'role="alert"' in response.text
    assert not PushSubscription.objects.exists()


def test_thirty_presses_an_hour_are_enough(visitor, job):
    answers = [visitor.post(to("my_notices", job), {"do": "none"}).status_code for _each in range(31)]
    assert answers == [303] * 30 + [429]


def test_a_device_that_is_forgotten_gets_no_more_notices(visitor, job):
    noticed(visitor, job)
    visitor.post("/forget/")
    assert not PushSubscription.objects.exists()


def test_closing_every_other_link_ends_the_notices_of_other_devices(visitor, job, as_customer):
    noticed(as_customer(job), job, endpoint=f"{SERVICE}-elsewhere")
    noticed(visitor, job)
    visitor.post(to("my_settings", job), {"do": "close"})
    assert [each.endpoint for each in PushSubscription.objects.all()] == [SERVICE]


def test_without_a_key_of_the_house_no_notices_are_offered(visitor, job, settings):
    settings.VAPID_KEY = ""
    assert "data-notices" not in visitor.get(to("my_settings", job)).text


def test_the_worker_stands_at_the_top_and_is_looked_for_anew(client):
    response = client.get("/push-worker.js")
    assert response["Content-Type"] == "text/javascript; charset=utf-8"
    assert response["Cache-Control"] == "no-cache"
    assert "fetch" not in response.text  # it answers no requests


def test_the_policy_lets_only_our_own_worker_in(client, cast):
    assert "worker-src 'self'" in client.get("/")["Content-Security-Policy"]


def test_staff_who_look_see_no_forms(job, cast, as_staff, settings):
    settings.VAPID_KEY = draw_vapid_key()
    page = as_staff(cast.technician_user).get(to("my_settings", job)).text
    assert "data-notices" not in page
    assert "Keep this" not in page
