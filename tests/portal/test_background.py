"""Broker and worker under stress, with real processes: frozen, restarted, killed."""

import time

import pytest
import redis
from django.utils import timezone
from kombu.exceptions import OperationalError

from portal import celery_app
from portal.models import Pulse
from portal.tasks import pulse
from tests.services import Valkey, wait_until

# Queues and workers, whatever the database is.
pytestmark = [pytest.mark.worker, pytest.mark.sqlite]


@pytest.fixture
def own_broker(tmp_path):
    """A broker that a test may break."""
    valkey = Valkey(tmp_path / "valkey")
    valkey.start()
    yield valkey
    valkey.stop()


def send(valkey, queue="notify"):
    with celery_app.connection_for_write(valkey.url) as connection:
        celery_app.send_task("portal.pulse", [queue], queue=queue, connection=connection, retry=False)


def felt_since(moment, queue="notify"):
    return lambda: Pulse.objects.filter(queue=queue, felt_at__gt=moment).exists()


def test_a_frozen_broker_holds_a_page_for_three_seconds_at_most(own_broker):
    own_broker.freeze()
    begin = time.monotonic()
    with pytest.raises(OperationalError):
        send(own_broker)
    assert time.monotonic() - begin < 3


def test_a_worker_goes_on_after_its_broker_was_killed_and_started_again(start_worker, own_broker):
    start_worker(BROKER_URL=own_broker.url)
    own_broker.kill()
    own_broker.start()
    again = timezone.now()
    send(own_broker)
    wait_until(felt_since(again), 30, "the pulse after the restart")


def test_a_worker_goes_on_after_its_broker_was_frozen(start_worker, own_broker):
    start_worker(BROKER_URL=own_broker.url)
    own_broker.freeze()
    time.sleep(3)
    own_broker.thaw()
    again = timezone.now()
    send(own_broker)
    wait_until(felt_since(again), 30, "the pulse after the thaw")


def test_a_worker_goes_on_after_its_connections_were_cut(start_worker, own_broker):
    start_worker(BROKER_URL=own_broker.url)
    with redis.Redis.from_url(own_broker.url) as client:
        assert client.client_kill_filter(_type="normal", skipme=True)
    again = timezone.now()
    send(own_broker)
    wait_until(felt_since(again), 60, "the pulse after the cut")


def test_what_is_queued_outlives_a_killed_broker(start_worker, own_broker):
    begin = timezone.now()
    send(own_broker)
    time.sleep(1.2)  # the append-only file is written through every second
    own_broker.kill()
    own_broker.start()
    start_worker(BROKER_URL=own_broker.url)
    wait_until(felt_since(begin), 30, "the pulse that was queued before")


def test_a_full_queue_of_photographs_does_not_hold_up_a_letter(start_worker, broker):
    start_worker(queues="notify")  # nobody works on media
    begin = timezone.now()
    for _ in range(20):
        pulse.apply_async(["media"], queue="media")
    pulse.apply_async(["notify"], queue="notify")
    wait_until(felt_since(begin), what="the letter's message")
    assert not felt_since(begin, "media")()


def test_results_are_kept_nowhere(start_worker, broker):
    start_worker()
    begin = timezone.now()
    pulse.apply_async(["notify"], queue="notify")
    wait_until(felt_since(begin))
    assert not [key for key in broker.scan_iter() if b"celery-task-meta" in key]


def test_a_worker_that_is_asked_to_stop_finishes_and_leaves_with_status_0(start_worker):
    worker = start_worker()
    worker.stop()
    assert worker.process.returncode == 0
