"""The closed jobs of this workshop as cases to learn from: gathered once, and kept for as long as no other job closes."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from itertools import groupby

from jobs import collection, stages
from jobs.learning import Case, Count, Learned
from jobs.library.symptoms import symptoms_of
from jobs.models import Finding, Job
from jobs.words import Bearing, Certainty, Stage

MOST = 1000  # closed jobs looked at, the newest: two or three years of a small shop
# Bearings that say why the story happened. What is separate, or only clears a suspicion, was true but did not explain it.
BEHIND_THE_STORY = frozenset({Bearing.EXPLAINS, Bearing.USE, Bearing.EARLIER})

Mark = tuple[int, datetime]  # the newest closed job, and since when it is closed
Row = tuple[int, str, list[str], str, str, str]


@dataclass(frozen=True)
class Remembered:
    """What was learned, and up to which closed job."""

    mark: Mark
    learned: Learned


_kept: list[Remembered] = []  # at most one: this process's own


def learned() -> Learned:
    """What the closed jobs taught. Costs two small queries; the cases are gathered again when another job has closed since."""
    mark = _newest_closed()
    if mark is None:
        return Learned(())
    if not _kept or _kept[0].mark != mark:
        _kept[:] = [Remembered(mark, Learned(tuple(gather())))]
    return _kept[0].learned


def counts_for(job: Job) -> list[Count]:
    """For a job whose cause is still open: how often each explanation turned out true for such stories, the likeliest first.

    None once the job is over: it would be counted among the stories that it is compared with.
    """
    if job.is_over:
        return []
    symptoms, bench = symptoms_of(job.story), learned()
    counts = bench.counts(symptoms)
    if not counts:
        return []
    library = collection.entries()
    place = {key: n for n, (key, _share) in enumerate(bench.ranking(symptoms, job.item.traits))}
    return sorted(
        (count for count in counts if count.explanation in library),
        key=lambda count: place[count.explanation],
    )


def gather() -> list[Case]:
    """The newest closed jobs that were examined, that is, about which a finding still stands."""
    closed = Job.objects.filter(stage__in=stages.OVER).order_by("-stage_since", "-pk").values("pk")[:MOST]
    rows = (
        Finding.objects.standing()
        .filter(job__in=list(closed.values_list("pk", flat=True)))
        .order_by("job_id", "pk")
        .values_list("job_id", "job__story", "job__item__traits", "explanation", "bearing", "certainty")
    )
    return [_case(list(of_one)) for _job, of_one in groupby(rows, key=lambda row: row[0])]


def _case(rows: list[Row]) -> Case:
    _job, story, traits, *_rest = rows[0]
    return Case(symptoms_of(story), frozenset(traits), frozenset(_true(rows)))


def _true(rows: list[Row]) -> Iterable[str]:
    for _job, _story, _traits, explanation, bearing, certainty in rows:
        if explanation and bearing in BEHIND_THE_STORY and certainty != Certainty.RULED_OUT:
            yield explanation


def _newest_closed() -> Mark | None:
    """Asked stage by stage, so that an index answers however many jobs have closed."""
    newest = [_newest_at(stage) for stage in stages.OVER]
    return max((mark for mark in newest if mark), key=lambda mark: (mark[1], mark[0]), default=None)


def _newest_at(stage: Stage) -> Mark | None:
    at_stage = Job.objects.filter(stage=stage).order_by("-stage_since", "-pk")
    return at_stage.values_list("pk", "stage_since").first()
