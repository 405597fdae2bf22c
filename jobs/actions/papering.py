"""Files the copy of an answer: made once, kept with its bytes, and named in the journal by its SHA-256."""

from django.utils import timezone

from jobs import journal
from jobs.actions.deciding import keep_paper
from jobs.actions.moving import changing
from jobs.actor import HOUSE
from jobs.answer_paper import pdf_of_answer
from jobs.models import Decision, Kind, Paper


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
