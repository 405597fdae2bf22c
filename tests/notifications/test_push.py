"""Notices through a push service that misbehaves."""

import pytest

from notifications import deliver, outward, push_services, vapid
from notifications.channels.push import topic_of
from notifications.models import Letter, PushSubscription
from portal.state import draw_vapid_key
from tests.http_services import other_side
from tests.notifications.scenes import run
from tests.outside.test_web_push import Browser


@pytest.fixture
def service(settings):
    settings.DEMO, settings.VAPID_KEY = True, draw_vapid_key()
    with other_side() as service:
        service.status, service.answer = 201, b""
        yield service


@pytest.fixture
def device(cast, service):
    """A device of a customer whose camera is on the bench."""
    return Browser().subscribe(cast.job_at("examining").customer, service.url)


@pytest.fixture
def letter(cast, device):
    job = device.customer.jobs.get()
    cast.post_finding(job)
    cast.send_quote(job)
    run()
    return Letter.objects.get(kind="quote_sent", channel="push")


def sent(letter: Letter) -> Letter:
    deliver.deliver(letter.pk)
    letter.refresh_from_db()
    return letter


def another(device: PushSubscription, endpoint: str) -> PushSubscription:
    return Browser().subscribe(device.customer, endpoint)


def test_a_quote_is_also_told_on_the_device(letter, service):
    assert (letter.to_address, letter.html) == ("devices", "")
    assert letter.text == "There is news about your repair."
    assert sent(letter).state == "sent"
    assert len(service.heard) == 1


def test_all_notices_of_a_job_have_one_topic_and_those_of_another_job_another(letter, service, cast):
    sent(letter)
    Letter.objects.filter(pk=letter.pk).update(state="waiting", next_attempt_at=letter.made_at)
    sent(letter)
    elsewhere = Letter(job=cast.another_book())
    topics = [each.headers["topic"] for each in service.heard]
    assert topics == [topic_of(letter)] * 2
    assert topic_of(elsewhere) != topic_of(letter)


@pytest.mark.parametrize("status", [404, 410])
def test_a_subscription_that_is_no_more_is_forgotten(letter, service, status):
    service.status = status
    assert (sent(letter).state, letter.trouble) == ("failed", "permanent")
    assert not PushSubscription.objects.exists()


@pytest.mark.parametrize(
    ("status", "state", "trouble"),
    [
        (429, "waiting", "throttled"),
        (413, "failed", "permanent"),
        (400, "failed", "permanent"),
        (403, "waiting", "temporary"),
        (500, "waiting", "temporary"),
        (302, "waiting", "temporary"),
    ],
)
def test_each_answer_means_something(letter, service, status, state, trouble):
    service.status, service.headers = status, {"Location": service.url, "Retry-After": "300"}
    assert (sent(letter).state, letter.trouble) == (state, trouble)
    assert len(service.heard) == 1
    assert PushSubscription.objects.exists()


def test_a_service_that_says_nothing_may_have_it(letter, service, monkeypatch):
    monkeypatch.setattr(outward, "TIMEOUT", (1.0, 0.3))
    service.mode = "hang"
    assert sent(letter).state == "ambiguous"


def test_a_notice_is_sent_when_one_device_took_it(letter, device, service):
    another(device, "http://127.0.0.1:9/gone")
    assert sent(letter).state == "sent"
    assert PushSubscription.objects.count() == 2


def test_when_no_device_is_left_the_letter_tells_it_alone(letter, device):
    device.delete()
    assert (sent(letter).state, letter.why) == ("skipped", "None of their devices takes notices any more.")


def test_when_no_device_is_left_and_nothing_else_told_them_it_has_failed(letter, device):
    Letter.objects.filter(channel="email").update(state="failed")
    device.delete()
    assert (sent(letter).state, letter.trouble) == ("failed", "permanent")


def test_without_a_key_of_ours_nothing_is_pushed(letter, service, settings):
    settings.VAPID_KEY = ""
    assert sent(letter).state == "failed"
    assert service.heard == []


def test_keys_that_are_no_keys_are_forgotten(letter, device, service):
    PushSubscription.objects.update(p256dh="BA" + "A" * 85)
    assert sent(letter).state == "failed"
    assert not PushSubscription.objects.exists()
    assert service.heard == []


def test_an_address_that_is_not_allowed_any_more_is_forgotten(letter, device, settings):
    PushSubscription.objects.update(endpoint="https://192.168.1.1/push")
    assert sent(letter).state == "failed"
    assert not PushSubscription.objects.exists()


@pytest.mark.parametrize(
    "endpoint",
    [
        "https://fcm.googleapis.com/fcm/send/abc",
        "https://updates.push.services.mozilla.com/wpush/v2/abc",
        "https://web.push.apple.com/abc",
        "https://wns2-par02p.notify.windows.com/w/?token=abc",
    ],
)
def test_services_that_browsers_use_may_be_asked(endpoint, settings):
    settings.DEMO = settings.DEBUG = False
    assert push_services.may_be_asked(endpoint)


@pytest.mark.parametrize(
    "endpoint",
    [
        "",
        "nonsense",
        "http://fcm.googleapis.com/fcm/send/abc",
        "https://fcm.googleapis.com.example.org/abc",
        "https://example.org/fcm.googleapis.com",
        "https://notify.windows.com.example.org/",
        "https://evilnotify.windows.com/",
        "https://fcm.googleapis.com:22/abc",
        "https://fcm.googleapis.com@10.0.0.1/abc",
        "https://fcm.googleapis.com:port/abc",
        "https://127.0.0.1/push",
        "https://localhost/push",
        "https://10.1.2.3/push",
        "https://[::1]/push",
        "https://fcm.googleapis.com/abc\r\nX-More: 1",
        "https://fcm.googleapis.com/" + "a" * 700,
        "https://[broken/",
    ],
)
def test_no_other_address_may_be_asked(endpoint, settings):
    settings.DEMO = settings.DEBUG = False
    assert not push_services.may_be_asked(endpoint)


def test_the_house_may_add_a_service(settings):
    settings.DEMO = settings.DEBUG = False
    settings.PUSH_HOSTS = ["push.example.org"]
    assert push_services.may_be_asked("https://push.example.org/abc")
    assert not push_services.may_be_asked("https://other.example.org/abc")


@pytest.mark.parametrize("key", ["", "x", "AAAA"])
def test_a_key_that_is_none_is_known_as_such(settings, key):
    settings.VAPID_KEY = key
    assert vapid.problem() if key else not vapid.is_on()


def test_a_fresh_key_is_right(settings):
    settings.VAPID_KEY = draw_vapid_key()
    assert vapid.problem() == ""
