from datetime import timedelta

import pytest
from django.db import DatabaseError
from django.utils import timezone

from portal import health
from portal.models import Pulse
from portal.schedule import QUEUES

pytestmark = pytest.mark.django_db


@pytest.fixture
def beating():
    for queue in QUEUES:
        Pulse.objects.create(queue=queue, felt_at=timezone.now())


def test_a_house_where_everything_works_is_well(client, beating):
    answer = client.get("/healthz")
    assert answer.status_code == 200
    assert answer.json() | {"pulse": None} == {
        "well": True,
        "database": True,
        "broker": True,
        "pulse": None,
        "oldest_waiting_letter": None,
    }


def test_a_house_whose_worker_never_answered_is_not_well(client):
    assert client.get("/healthz").status_code == 503


@pytest.mark.parametrize("queue", QUEUES)
def test_a_queue_that_has_been_silent_for_three_minutes_is_not_well(client, beating, queue):
    Pulse.objects.filter(queue=queue).update(felt_at=timezone.now() - timedelta(minutes=3, seconds=2))
    answer = client.get("/healthz")
    assert answer.status_code == 503
    assert answer.json()["pulse"][queue] > 180


def test_a_broker_that_does_not_answer_is_not_well(client, beating, settings):
    settings.BROKER_URL = "redis://127.0.0.1:1/0"
    answer = client.get("/healthz")
    assert answer.status_code == 503
    assert answer.json()["broker"] is False


def test_a_database_that_does_not_answer_is_not_well(client, monkeypatch):
    def broken(now):
        raise DatabaseError

    monkeypatch.setattr(health, "pulses", broken)
    answer = client.get("/healthz")
    assert answer.status_code == 503
    assert answer.json()["database"] is False


def test_looking_costs_few_queries(client, beating, django_assert_max_num_queries):
    with django_assert_max_num_queries(2):
        client.get("/healthz")
