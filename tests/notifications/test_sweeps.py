"""The timetable's tasks: short, harmless when run twice, and each one known to beat."""

import ast
import inspect
from datetime import timedelta
from pathlib import Path

import pytest
from celery import current_app
from django.utils import timezone

from notifications import tasks
from notifications.models import Letter, SweepLease
from portal.schedule import TIMETABLE
from tests.services import ROOT

HALF_A_MINUTE = timedelta(seconds=30)


@pytest.fixture
def told(monkeypatch):
    """Which letters a worker was told about, without a broker."""
    seen: list[int] = []
    monkeypatch.setattr("notifications.waking.wake", lambda task, *ids: seen.extend(ids) or True)
    return seen


@pytest.mark.django_db
def test_of_two_beats_one_gets_the_turn():
    assert SweepLease.objects.take("sweep", HALF_A_MINUTE)
    assert not SweepLease.objects.take("sweep", HALF_A_MINUTE)


@pytest.mark.django_db
def test_a_turn_that_ran_out_can_be_taken_again():
    SweepLease.objects.take("sweep", -HALF_A_MINUTE)
    assert SweepLease.objects.take("sweep", HALF_A_MINUTE)


@pytest.mark.django_db
def test_turns_of_different_sweeps_do_not_meet():
    assert SweepLease.objects.take("sweep", HALF_A_MINUTE)
    assert SweepLease.objects.take("nudge_due", HALF_A_MINUTE)


def test_a_sweep_finds_what_nobody_was_told_about(cast, told):
    cast.book()
    tasks.sweep()
    assert told == [Letter.objects.get().pk]


def test_a_sweep_right_after_another_does_nothing(cast, told):
    tasks.sweep()
    cast.book()
    tasks.sweep()
    assert not Letter.objects.exists()


def test_the_daily_tasks_nudge_and_lapse(cast, told):
    quote = cast.job_at("quoted").quotes.get()
    type(quote).objects.update(sent_at=timezone.now() - timedelta(days=10))
    tasks.reckon_owings()
    tasks.nudge_due()
    tasks.nudge_due()
    assert quote.job.entries.filter(kind="nudged").count() == 1
    type(quote).objects.update(valid_until=timezone.localdate() - timedelta(days=1))
    tasks.lapse_quotes()
    quote.refresh_from_db()
    assert quote.state == "lapsed"


def test_beat_knows_every_sweep_by_a_name_that_a_worker_has():
    current_app.loader.import_default_modules()  # as a worker does
    planned = {row["task"] for row in TIMETABLE.values()}
    assert {"notifications.sweep", "notifications.nudge_due", "notifications.lapse_quotes"} <= planned
    assert planned <= set(current_app.tasks)


def test_every_task_is_short_and_takes_numbers_only():
    for name, function in inspect.getmembers(tasks, lambda member: hasattr(member, "delay")):
        lines = inspect.getsource(function.run).splitlines()
        assert len(lines) < 25, name
        for parameter in inspect.signature(function.run).parameters.values():
            assert parameter.annotation in (int, "int"), name


def test_nothing_is_put_off_inside_the_broker():
    """Celery's countdown and ETA hold messages in a worker's memory; due dates stand in the table instead."""
    for folder in ("jobs", "notifications", "portal"):
        for path in Path(ROOT / folder).rglob("*.py"):
            calls = [node for node in ast.walk(ast.parse(path.read_text())) if isinstance(node, ast.Call)]
            used = {keyword.arg for call in calls for keyword in call.keywords}
            assert not used & {"countdown", "eta"}, path


def test_a_relay_with_a_long_backlog_lets_others_have_their_turn_and_goes_on_afterwards(
    cast, told, monkeypatch
):
    again: list[bool] = []
    monkeypatch.setattr(tasks, "wake_relay", lambda: again.append(True))
    monkeypatch.setattr(tasks, "RELAY_SECONDS", -1.0)
    for number in range(tasks.AT_A_TIME + 5):
        cast.book(name=f"Guest {number}", email=f"guest{number}@example.org")
    tasks.relay()
    assert (Letter.objects.count(), again) == (tasks.AT_A_TIME, [True])
    assert told  # what is written is on its way by then
    tasks.relay()
    assert (Letter.objects.count(), again) == (tasks.AT_A_TIME + 5, [True])
