"""Questions and their answers."""

from django.db import IntegrityError, transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from jobs import journal
from jobs.actions.moving import changing
from jobs.actions.refusals import Refused
from jobs.actor import Actor
from jobs.models import Finding, Job, Kind, Line, Question

Subject = Finding | Line | None


def ask(job: Job, text: str, by: Actor, once: str, about: Subject = None) -> Question:
    """Put a question to the bench. `once` is the form's own key: the same form sent twice asks once."""
    if not text.strip():
        raise Refused(_("Write your question first."), "text")
    with changing(job) as fresh:
        if asked := Question.objects.filter(once=once, job=fresh).first():
            return asked
        question = _store(fresh, text.strip(), once, about)
        journal.append(
            fresh, Kind.ASKED, by, {"question": question.pk, "text": question.text, "about": question.about}
        )
        return question


def answer(question: Question, text: str, by: Actor) -> Question:
    """Answer it, once. A second answer is refused, so that nobody's words are written over."""
    if not text.strip():
        raise Refused(_("Write the answer first."), "answer")
    with changing(question.job) as job:
        done = Question.objects.unanswered().filter(pk=question.pk)
        if not done.update(answer=text.strip(), answered_at=timezone.now(), answered_by=by.name):
            raise Refused(_("This question has been answered already."))
        question.refresh_from_db()
        journal.append(
            job,
            Kind.ANSWERED,
            by,
            {"question": question.pk, "text": question.text, "answer": question.answer},
        )
        return question


def _store(job: Job, text: str, once: str, about: Subject) -> Question:
    finding = about if isinstance(about, Finding) else None
    line = about if isinstance(about, Line) else None
    try:
        with transaction.atomic():
            return Question.objects.create(
                job=job, text=text, once=once, finding=finding, line=line, asked_at=timezone.now()
            )
    except IntegrityError as clash:
        raise Refused(_("This form was used before. Load the page again and ask once more.")) from clash
