"""The office with 100,000 jobs beside the office with 1,000: the same page, the same owner, the same run."""

from collections.abc import Callable, Iterator
from datetime import timedelta

from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from jobs import refs
from jobs.models import Customer, Item, Job, Line, Quote, Staff
from jobs.stages import HOLDERS
from jobs.words import Stage, TaxMode
from tests.benchmarks.frame import Row, at_most, measured, milliseconds

STAGES = list(Stage)


def fill(first: int, after: int) -> None:
    """Jobs number `first` to `after` - 1, evenly over every stage; the quoted ones with a quote of two lines."""
    people = Customer.objects.bulk_create(
        [
            Customer(name=f"Person {n}", email=f"p{n}@example.org", telephone="01632 960000")
            for n in range(first, after)
        ],
        2000,
    )
    items = Item.objects.bulk_create(
        [Item(owner=each, maker="Corvane", model=f"No {each.pk}") for each in people], 2000
    )
    jobs = Job.objects.bulk_create([_job(n, item) for n, item in enumerate(items, start=first)], 2000)
    _quote([job for job in jobs if job.stage == Stage.QUOTED])


def _job(n: int, item: Item) -> Job:
    stage = STAGES[n % len(STAGES)]
    since = timezone.now() - timedelta(minutes=n % 50_000)
    return Job(
        ref=refs.encode(n),
        customer_id=item.owner_id,
        item=item,
        stage=stage,
        holder=HOLDERS[stage],
        story="It stopped.",
        stage_since=since,
        holder_since=since,
        likely_by=timezone.localdate() + timedelta(days=n % 40),
        surely_by=timezone.localdate() + timedelta(days=n % 40 + 7),
    )


def _quote(jobs: list[Job]) -> None:
    quotes = Quote.objects.bulk_create(
        [
            Quote(
                job=job,
                n=1,
                state=Quote.State.OPEN,
                currency="GBP",
                tax_mode=TaxMode.NONE,
                sent_at=job.stage_since,
            )
            for job in jobs
        ],
        2000,
    )
    Line.objects.bulk_create(
        [
            Line(quote=quote, position=place, title="Work", need=need, price=5000)
            for quote in quotes
            for place, need in ((1, "needed"), (2, "optional"))
        ],
        2000,
    )


@measured
def the_office() -> Iterator[Row]:
    owner = Client()
    owner.force_login(Staff.objects.get(username="hester"))

    def page() -> None:
        assert owner.get("/office/").status_code == 200

    fill(10_000, 11_000)
    few, asked = milliseconds(page, times=15), queries(page)
    fill(11_000, 110_000)
    with connection.cursor() as cursor:
        cursor.execute("ANALYZE")
    many = milliseconds(page, times=15)
    yield at_most("office, first page, 100,000 jobs beside 1,000", many / few, "times", 1.5)
    yield Row(
        "office, first page, 100,000 jobs",
        round(many, 1),
        "ms",
        f"told only (1,000 jobs: {few:.1f} ms)",
        True,
    )
    yield at_most("office, first page, more queries with 100,000 jobs", queries(page) - asked, "queries", 0)
    yield Row("office, first page, queries", asked, "queries", "told only", True)


def queries(page: Callable[[], None]) -> int:
    with CaptureQueriesContext(connection) as caught:
        page()
    return len(caught)
