"""The demo's gateway and device, over a real web server: what a customer of the demo is sent lies in the letterbox."""

import json

import pytest
from django.test import Client

from notifications import deliver, demo_ways
from notifications.models import Letter, PushSubscription, TextGateway
from portal.door.letterbox_texts import folder
from portal.state import draw_vapid_key
from tests.cast import make_cast
from tests.notifications.scenes import run

pytestmark = pytest.mark.django_db


@pytest.fixture
def demo(settings, tmp_path):
    settings.DEMO, settings.VAPID_KEY = True, draw_vapid_key()
    settings.LETTERBOX_DIR = tmp_path / "letterbox"


def kept() -> list[dict[str, str]]:
    return [json.loads(path.read_text()) for path in sorted(folder().glob("*.json"))]


@pytest.mark.django_db(transaction=True)
def test_a_text_and_a_notice_arrive_as_they_were_sent(demo, live_server, settings):
    settings.PORT = live_server.thread.port
    cast = make_cast()
    job = cast.book("Ivo Harkaway", "ivo@example.org")
    demo_ways.give()
    cast.job_at("quoted", job)
    run()
    for letter in Letter.objects.filter(kind="quote_sent").exclude(channel="email"):
        assert deliver.deliver(letter.pk) == "sent", Letter.objects.get(pk=letter.pk).last_error
    text, notice = sorted(kept(), key=lambda each: each["way"] != "text")
    assert text["to"] == "+441632960142"
    assert notice["path"] == f"/my/{job.shown_ref}/"
    page = Client().get("/letterbox/texts/").text
    assert "text from Tidewater to +44 1632 960142" in page
    assert "There is news about your repair." in page


@pytest.fixture
def ivo(demo):
    job = make_cast().book("Ivo Harkaway", "ivo@example.org")
    demo_ways.give()
    return job.customer


def test_who_wants_texts_has_them_once_however_often_it_is_told(ivo):
    demo_ways.give()
    ivo.refresh_from_db()
    assert (ivo.text_to, ivo.wants_texts) == ("+441632960142", True)
    assert (TextGateway.objects.count(), PushSubscription.objects.count()) == (1, 1)


def test_both_follow_the_house_to_another_port(ivo, settings):
    settings.PORT = 8123
    demo_ways.stand_here()
    addresses = [TextGateway.objects.get().url, PushSubscription.objects.get().endpoint]
    assert all(each.startswith("http://127.0.0.1:8123/letterbox/") for each in addresses)


def post(client, told, key='"a-1"', secret="demo"):
    headers = {"Authorization": f"Bearer {secret}", "Idempotency-Key": key}
    return client.post("/letterbox/texts/take/", told, content_type="application/json", headers=headers)


def test_the_same_message_twice_is_kept_once(demo, client):
    answers = [post(client, {"to": "+441632960142", "text": "Ready"}).json() for _twice in range(2)]
    assert answers == [{"id": "a-1"}] * 2
    assert len(kept()) == 1


@pytest.mark.parametrize(
    ("told", "secret", "status"), [({}, "demo", 422), ("no", "demo", 422), ({"to": "x"}, "guess", 401)]
)
def test_the_gateway_refuses_what_gateways_refuse(demo, client, told, secret, status):
    assert post(client, told, secret=secret).status_code == status
    assert kept() == []


@pytest.mark.parametrize("body", [b"", b"nonsense", b"\x00" * 200])
def test_a_notice_for_another_device_is_refused(demo, client, body):
    answer = client.post("/letterbox/notices/take/", body, content_type="application/octet-stream")
    assert answer.status_code == 400
    assert kept() == []


def test_a_key_cannot_name_a_file_elsewhere(demo, client):
    post(client, {"to": "+441632960142", "text": "Ready"}, key='"../../outside"')
    assert not (folder().parent.parent / "outside").exists()
    assert len(kept()) == 1


@pytest.mark.parametrize("path", ["/letterbox/texts/", "/letterbox/texts/take/", "/letterbox/notices/take/"])
def test_nothing_of_it_is_there_in_a_real_workshop(client, settings, cast, path):
    settings.DEMO = settings.DEBUG = False
    answer = client.get(path) if path.endswith("texts/") else client.post(path)
    assert answer.status_code == 404
