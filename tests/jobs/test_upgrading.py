"""What a workshop has is still there, and still adds up, after the tables have grown."""

from collections.abc import Iterator
from datetime import date
from typing import Any

import pytest
from django.core.management import call_command
from django.db import DatabaseError, IntegrityError, connection, transaction
from django.db.migrations.executor import MigrationExecutor
from django.utils import timezone

from jobs import journal
from jobs.accounts import account
from jobs.actor import HOUSE
from jobs.canonical import canonical, digest
from jobs.evidence import reckon_answer, sheet
from jobs.models import Decision, Job, Kind, Line, NudgeStep, Quote, Workshop
from notifications.models import Nudge

pytestmark = pytest.mark.django_db(transaction=True)

BEFORE = [("jobs", "0006_settled_at_home"), ("notifications", "0002_letter_by_state")]


@pytest.fixture
def old_house(transactional_db: None) -> Iterator[Any]:
    """The tables as they were before quotes had branches; brought up to date again afterwards."""
    executor = MigrationExecutor(connection)
    executor.migrate(BEFORE)
    yield executor.loader.project_state(BEFORE).apps
    call_command("migrate", verbosity=0)


def fill(apps: Any) -> None:
    """One job with an answered quote of two lines at 20 % and its finding, as the first version wrote it."""
    get = apps.get_model
    get("jobs", "Workshop").objects.create(
        pk=1, name="Tidewater", place="Saltmere", address="1 Slipway", tax_mode="added", tax_rate_bp=2000
    )
    customer = get("jobs", "Customer").objects.create(name="Orla Fennimore", email="orla@example.org")
    item = get("jobs", "Item").objects.create(maker="Corvane", model="Skerry", owner=customer)
    job = get("jobs", "Job").objects.create(
        ref="4TM7QKR", customer=customer, item=item, story="It went slack.", stage="agreed", holder="workshop"
    )
    finding = get("jobs", "Finding").objects.create(
        job=job, mechanism="transport", certainty="seen", bearing="explains", effect="stops", title="A screw"
    )
    quote = get("jobs", "Quote").objects.create(
        job=job, n=1, state="answered", currency="GBP", tax_mode="added", tax_name="VAT", tax_rate_bp=2000,
        valid_until=date(2026, 12, 1),
    )  # fmt: skip
    lines = [
        get("jobs", "Line").objects.create(quote=quote, position=n, title=title, price=price, kind=kind)
        for n, (title, price, kind) in enumerate(
            [("Free the gears", 8500, "work"), ("Post home", 1200, "carriage")], start=1
        )
    ]
    lines[0].findings.add(finding)
    quote.shown = canonical(shown(quote, lines))
    quote.shown_hash = digest(quote.shown)
    quote.save()
    decision = get("jobs", "Decision").objects.create(
        quote=quote, at=timezone.now(), name="Orla Fennimore", sentence="I agree.", shown=quote.shown,
        shown_hash=quote.shown_hash, net=9700, tax=1940, gross=11640,
    )  # fmt: skip
    for line in lines:
        get("jobs", "Choice").objects.create(decision=decision, line=line, yes=True)
    for step in (1, 2):
        get("notifications", "Nudge").objects.create(quote=quote, step=step, at=timezone.now())


def shown(quote: Any, lines: list[Any]) -> dict[str, Any]:
    """The evidence as its first version wrote it."""
    kept = ("kind", "need", "title", "why", "price", "months")
    return {
        "v": 1,
        "job": "4TM7QKR",
        "item": "Corvane Skerry",
        "quote": 1,
        "currency": "GBP",
        "tax": {"mode": "added", "name": "VAT", "rate_bp": 2000},
        "valid_until": "2026-12-01",
        "note": "",
        "lines": [
            {"id": line.pk, **{name: getattr(line, name) for name in kept}, "findings": []} for line in lines
        ],
    }


def test_answers_sums_rates_and_settings_come_through_an_upgrade(old_house: Any) -> None:
    """One test, because going back and forth takes seconds."""
    fill(old_house)
    call_command("migrate", verbosity=0)
    quote, house = Quote.objects.get(), Workshop.objects.get()
    lines = list(Line.objects.order_by("position"))
    yes = set(quote.decision.choices.filter(yes=True).values_list("line", flat=True))

    assert [(line.tax_category, line.tax_rate_bp) for line in lines] == [("S", 2000)] * 2
    assert [line.mechanism for line in lines] == ["transport", ""]  # that of the finding it answers
    assert digest(quote.shown) == quote.shown_hash
    assert [item.title for item in sheet(quote).items] == ["Free the gears", "Post home"]
    assert reckon_answer(quote, sheet(quote), yes).total.gross == quote.decision.gross == 11640
    assert _owed(Job.objects.get(), lines) == 11640
    # New settings are quiet ones: nothing that costs or asks more than before.
    assert (house.tax_rate_bp, house.hour_price, house.deposit_bp, house.code_above) == (2000, 0, 0, None)
    assert not house.credits_assessment
    # Nudges name what they were about, and the days of the calendar are steps of working days: 2, 5 and 10.
    nudges = [(each.job, each.thing, each.step) for each in Nudge.objects.order_by("step")]
    assert nudges == [(quote.job, f"quote-{quote.pk}", n) for n in (1, 2)]
    steps = list(NudgeStep.objects.order_by("n").values_list("about", "wait", "way", "tone"))
    assert steps == [
        ("quote", 2, "email", "kind"),
        ("quote", 3, "email", "plain"),
        ("quote", 5, "email", "last"),
    ]
    again = Nudge(job=quote.job, thing=f"quote-{quote.pk}", step=2, at=timezone.now())
    with pytest.raises(IntegrityError), transaction.atomic():
        again.save()
    with pytest.raises(DatabaseError), transaction.atomic():
        Decision.objects.update(gross=1)


def _owed(job: Job, lines: list[Line]) -> int:
    decided = {"quote": 1, "agreed": True, "choices": [[line.pk, True] for line in lines]}
    journal.append(job, Kind.DECIDED, HOUSE, decided)
    return account(job).due
