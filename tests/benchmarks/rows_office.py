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
from jobs.words import Owes, Stage, TaxMode, Tone, Way
from notifications.models import Owing
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
    quoted = [job for job in jobs if job.stage == Stage.QUOTED]
    _quote(quoted)
    _owe(quoted)


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


def _owe(jobs: list[Job]) -> None:
    """The row of each open quote as the chasing keeps it: a nudge follows for some, some are to be rung."""
    Owing.objects.bulk_create(
        [
            Owing(
                job=job,
                about=Owes.QUOTE,
                thing=f"quote-{job.pk}",
                since=job.stage_since,
                money=5000 + n % 900,
                state=Owing.State.CHASED if n % 3 else Owing.State.CALL,
                next_on=timezone.localdate() + timedelta(days=n % 14) if n % 3 else None,
                next_way=Way.EMAIL,
                next_tone=Tone.KIND,
                chance=0.4,
                gain=n % 2500,
            )
            for n, job in enumerate(jobs)
        ],
        2000,
    )


@measured
def the_office() -> Iterator[Row]:
    owner = Client()
    owner.force_login(Staff.objects.get(username="hester"))

    def page_at(path: str) -> Callable[[], None]:
        def page() -> None:
            assert owner.get(path).status_code == 200

        return page

    pages = {
        "office": page_at("/office/"),
        "office, what is owed": page_at("/office/owed/"),
        "office, what is owed, the next nudge first": page_at("/office/owed/?order=next"),
    }
    fill(10_000, 11_000)
    few = {name: (milliseconds(page, times=15), queries(page)) for name, page in pages.items()}
    fill(11_000, 110_000)
    with connection.cursor() as cursor:
        cursor.execute("ANALYZE")
    for name, page in pages.items():
        before, asked = few[name]
        many = milliseconds(page, times=15)
        yield at_most(f"{name}, first page, 100,000 jobs beside 1,000", many / before, "times", 1.5)
        told = f"told only (1,000 jobs: {before:.1f} ms)"
        yield Row(f"{name}, first page, 100,000 jobs", round(many, 1), "ms", told, True)
        yield at_most(f"{name}, more queries with 100,000 jobs", queries(page) - asked, "queries", 0)
        yield Row(f"{name}, queries", asked, "queries", "told only", True)


def queries(page: Callable[[], None]) -> int:
    with CaptureQueriesContext(connection) as caught:
        page()
    return len(caught)
