"""Comebacks counted over 100,000 warranties, of which one in twenty was called on."""

from collections.abc import Iterator
from datetime import timedelta

from django.db import connection
from django.utils import timezone

from jobs import refs
from jobs.models import Arrival, Cover, Customer, Item, Job, Judged, Line, Quote, Warranty
from jobs.words import Holder, Mechanism, Stage, TaxMode
from portal.office.comebacks import comebacks
from tests.benchmarks.frame import Row, at_most, measured, milliseconds
from tests.benchmarks.rows_office import queries

FIRST = 200_000
MECHANISMS = list(Mechanism)[:12]


def fill(first: int, after: int) -> None:
    """Jobs that are home with a warranty of one cover; every twentieth came back, half of these with the same again."""
    now, today = timezone.now(), timezone.localdate()
    person = Customer.objects.create(name="Person", email="person@example.org")
    item = Item.objects.create(owner=person, maker="Corvane", model="Skerry")
    done = {"customer": person, "item": item, "stage": Stage.RETURNED, "holder": Holder.NOBODY, "story": "x"}
    jobs = Job.objects.bulk_create([Job(ref=refs.encode(n), **done) for n in range(first, after)], 2000)
    quotes = Quote.objects.bulk_create(
        [Quote(job=job, n=1, state="answered", currency="GBP", tax_mode=TaxMode.NONE) for job in jobs], 2000
    )
    lines = Line.objects.bulk_create(
        [Line(quote=quote, position=1, title="x", price=1) for quote in quotes], 2000
    )
    warranties = Warranty.objects.bulk_create(
        [Warranty(job=job, starts_on=today, created_at=now) for job in jobs], 2000
    )
    covers = Cover.objects.bulk_create(
        [
            Cover(
                warranty=warranty,
                line=line,
                what="x",
                mechanism=MECHANISMS[n % len(MECHANISMS)],
                until=today + timedelta(days=300),
            )
            for n, (warranty, line) in enumerate(zip(warranties, lines, strict=True))
        ],
        2000,
    )
    back = covers[::20]
    claims = Job.objects.bulk_create(
        [
            Job(ref=refs.encode(10**7 + first + n), claim_on=cover.warranty.job, **done)
            for n, cover in enumerate(back)
        ],
        2000,
    )
    Arrival.objects.bulk_create([Arrival(job=claim, at=now, by="x") for claim in claims], 2000)
    Judged.objects.bulk_create(
        [
            Judged(
                job=claim,
                judgement="covered",
                again="same" if n % 2 else "other",
                cover=cover,
                because="",
                at=now,
                by="x",
            )
            for n, (claim, cover) in enumerate(zip(claims, back, strict=True))
        ],
        2000,
    )


@measured
def comebacks_of_many_years() -> Iterator[Row]:
    fill(FIRST, FIRST + 1000)
    few, asked = milliseconds(comebacks, times=5, warm=1), queries(comebacks)
    fill(FIRST + 1000, FIRST + 100_000)
    with connection.cursor() as cursor:
        cursor.execute("ANALYZE")
    many = milliseconds(comebacks, times=5, warm=1)
    yield at_most("comebacks, a hundred times the warranties (100,000)", many / few, "times", 100)
    yield Row("comebacks, 100,000 warranties", round(many, 1), "ms", f"told only (1,000: {few:.1f} ms)", True)
    yield at_most("comebacks, more queries with 100,000 warranties", queries(comebacks) - asked, "queries", 0)
