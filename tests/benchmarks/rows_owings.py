"""Summing up what everybody owes, among the 100,000 jobs of the office's measurement (rows_office.py, which comes before)."""

import time
from collections.abc import Iterator

from django.utils import timezone

from jobs.models import Job
from notifications.chasing import keeping
from notifications.chasing.house import read_house
from tests.benchmarks.frame import Row, at_most, measured, milliseconds
from tests.benchmarks.rows_office import fill


@measured
def what_is_owed() -> Iterator[Row]:
    if not Job.objects.exists():  # measured alone
        fill(10_000, 20_000)
    keeping.refresh_all()
    begin = time.perf_counter()
    jobs = keeping.refresh_all()
    whole = (time.perf_counter() - begin) * 1000
    some = sorted(keeping._may_owe())[: keeping.BATCH]
    one = milliseconds(lambda: keeping._refresh_batch(some, read_house(), timezone.now()), times=10)
    yield at_most(
        "what is owed, a job among all beside a job in one batch",
        whole / jobs / (one / len(some)),
        "times",
        1.5,
    )
    told = f"told only ({Job.objects.count():,} jobs, {jobs:,} of them owe something)"
    yield Row("what is owed, summed up anew for all", round(whole / 1000, 1), "s", told, True)
    yield Row(
        "what is owed, the locks of one batch", round(one, 1), "ms", f"told only ({len(some)} jobs)", True
    )
    job = Job.objects.filter(pk=some[0]).get()
    yield Row(
        "what is owed, summed up for one job",
        round(milliseconds(lambda: keeping.refresh(job)), 1),
        "ms",
        "told only",
        True,
    )
