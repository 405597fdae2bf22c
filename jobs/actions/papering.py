"""Files copies, of an answer and of a warranty: each made once, kept with its bytes, and named in the journal by its SHA-256."""

from django.utils import timezone

from jobs import journal
from jobs.actions.moving import changing
from jobs.actions.recording import keep_paper
from jobs.actor import HOUSE
from jobs.answer_paper import pdf_of_answer
from jobs.models import Decision, Job, Kind, Paper, Warranty
from jobs.warranty_paper import pdf_of_warranty


def kept_paper(decision: Decision) -> Paper | None:
    """The copy, if it was made already."""
    return Paper.objects.filter(decision=decision, kind=Paper.Kind.ANSWER).first()


def answer_paper(decision: Decision) -> Paper:
    """The PDF of a quote with its answer: the one that was made, or made now. Raises jobs.papers.CannotSet.

    Inside the job's lock, so that of two at once one makes it and both get it; setting takes a few hundredths of a second. Nothing
    about the job changes by it, neither its stage nor whose move it is: it files a copy of what was decided before.
    """
    if paper := kept_paper(decision):
        return paper
    with changing(decision.quote.job) as job:
        if paper := kept_paper(decision):
            return paper
        paper = keep_paper(job, Paper.Kind.ANSWER, pdf_of_answer(decision, timezone.now()), decision)
        told = {"kind": paper.kind, "sha256": paper.sha256, "decision": decision.quote.n}
        journal.append(job, Kind.PAPER, HOUSE, told)
        return paper


def kept_card(job: Job) -> Paper | None:
    """The card of the job's warranty, if it was made already."""
    return Paper.objects.filter(job=job, kind=Paper.Kind.WARRANTY).order_by("-pk").first()


def warranty_card(warranty: Warranty) -> Paper:
    """The card of a warranty as PDF: the one that was made, or made now, as for an answer. Raises jobs.papers.CannotSet."""
    if paper := kept_card(warranty.job):
        return paper
    with changing(warranty.job) as job:
        if paper := kept_card(job):
            return paper
        paper = keep_paper(job, Paper.Kind.WARRANTY, pdf_of_warranty(warranty, timezone.now()))
        journal.append(job, Kind.PAPER, HOUSE, {"kind": paper.kind, "sha256": paper.sha256})
        return paper
