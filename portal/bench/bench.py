"""The bench: what lies on it, whose move each is, and finding one job among all."""

from dataclasses import dataclass
from itertools import groupby

from django.db.models import Case, Q, QuerySet, When
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET

from jobs import refs
from jobs.models import Job, Question
from jobs.words import Holder
from portal.access import for_staff
from portal.bench import steps
from portal.bench.steps import Step

# Ours first: that is what the bench is for.
ORDER = [Holder.WORKSHOP, Holder.CUSTOMER, Holder.SUPPLIER, Holder.CARRIER, Holder.NOBODY]
MOST_FOUND = 40


@dataclass(frozen=True)
class Row:
    job: Job
    step: Step | None


@require_GET
@for_staff
def bench(request: HttpRequest) -> HttpResponse:
    """What is on the bench, ours first, the longest wait first. `?q=` finds a job by reference, person or camera."""
    asked = request.GET.get("q", "").strip()
    if not asked:
        return render(
            request, "bench/bench.html", {"here": "bench", "groups": groups(), "questions": questions()}
        )
    if (job := by_reference(asked)) is not None:
        return redirect("bench_job", job.ref)
    rows = [_row(job) for job in by_words(asked)[:MOST_FOUND]]
    context = {"here": "bench", "asked": asked, "rows": rows, "slip": slip(asked)}
    return render(request, "bench/found.html", context)


def groups() -> list[tuple[str, list[Row]]]:
    """(holder, rows), without the holders that hold nothing."""
    place = Case(*(When(holder=holder, then=n) for n, holder in enumerate(ORDER)), default=len(ORDER))
    jobs = steps.seen_from_the_bench().on_the_bench().order_by(place, "holder_since", "pk")
    return [
        (holder, [_row(job) for job in held]) for holder, held in groupby(jobs, key=lambda job: job.holder)
    ]


def questions() -> QuerySet[Question]:
    """What people asked and nobody has answered, the oldest first."""
    return Question.objects.unanswered().select_related("job__customer", "job__item", "finding", "line")


def by_reference(asked: str) -> Job | None:
    """The job of a reference as people write it: any case, with or without the hyphen, O for 0, I and L for 1."""
    try:
        return Job.objects.filter(ref=refs.tidy(asked)).first()
    except refs.BadRef:
        return None


def by_words(asked: str) -> QuerySet[Job]:
    """Jobs in whose person or camera every word occurs, the newest first."""
    found = steps.seen_from_the_bench().order_by("-created_at")
    for word in asked.split():
        found = found.filter(
            Q(customer__name__icontains=word)
            | Q(item__maker__icontains=word)
            | Q(item__model__icontains=word)
            | Q(item__serial__icontains=word)
            | Q(ref__startswith=word.upper().replace("-", ""))
        )
    return found


def slip(asked: str) -> str:
    """A sentence for what looks like a reference and is none."""
    bare = asked.upper().replace("-", "").replace(" ", "")
    if len(bare) != refs.DATA_SYMBOLS + 1 or not any(symbol.isdigit() for symbol in bare):
        return ""
    try:
        refs.decode(bare)
    except refs.BadRef:
        return _("That is not a reference of ours: one of its symbols must be wrong.")
    return _("No job has that reference.")


def _row(job: Job) -> Row:
    return Row(job, steps.next_step(job))
