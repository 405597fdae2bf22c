"""Our questions to the customer, and their answers. (Theirs to us: `jobs.actions.asking`.)"""

from django.db import IntegrityError, transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from jobs import journal, stages
from jobs.actions.moving import changing, hand_back
from jobs.actions.refusals import Refused
from jobs.actor import Actor
from jobs.models import Enquiry, Finding, Job, Kind


def enquire(
    job: Job, text: str, by: Actor, once: str, about: Finding | None = None, work_waits: bool = False
) -> Enquiry:
    """Ask the customer something. `work_waits`: nothing goes on until they answer, so it becomes their move where it was ours.

    `once` is the form's own key: the same form sent twice asks once. Raises Refused without a question, and when the job is over.
    """
    if not text.strip():
        raise Refused(_("Write the question first."), "text")
    with changing(job) as fresh:
        if asked := Enquiry.objects.filter(once=once, job=fresh).first():
            return asked
        if fresh.stage in stages.OVER:
            raise Refused(_("This job is over. Write or ring instead."))
        enquiry = _store(fresh, text.strip(), by, once, about, work_waits)
        hand_back(fresh)
        journal.append(
            fresh,
            Kind.ENQUIRED,
            by,
            {
                "enquiry": enquiry.pk,
                "text": enquiry.text,
                "about": str(about or ""),
                "work_waits": enquiry.work_waits,
                "holder": fresh.holder,
            },
        )
        return enquiry


def answer_enquiry(enquiry: Enquiry, text: str, by: Actor) -> Enquiry:
    """Note their answer, once: from their page or their letter (a customer's), or as they told it (a member of staff's).

    Raises Refused for an empty one, and for a question that was answered or taken back before.
    """
    if not text.strip():
        raise Refused(_("Write the answer first."), "answer")
    with changing(enquiry.job) as job:
        now = timezone.now()
        done = Enquiry.objects.open().filter(pk=enquiry.pk).update(answer=text.strip(), answered_at=now)
        enquiry.refresh_from_db()
        if not done:
            raise Refused(_why_closed(enquiry))
        hand_back(job)
        journal.append(
            job,
            Kind.ENQUIRY_ANSWERED,
            by,
            {"enquiry": enquiry.pk, "text": enquiry.text, "answer": enquiry.answer, "holder": job.holder},
        )
        return enquiry


def drop_enquiry(enquiry: Enquiry, by: Actor) -> None:
    """Take a question back: we know by now, or it no longer matters. Raises Refused where it was answered meanwhile."""
    with changing(enquiry.job) as job:
        done = Enquiry.objects.open().filter(pk=enquiry.pk).update(dropped_at=timezone.now())
        enquiry.refresh_from_db()
        if not done:
            raise Refused(_why_closed(enquiry))
        hand_back(job)
        journal.append(
            job,
            Kind.ENQUIRY_DROPPED,
            by,
            {"enquiry": enquiry.pk, "text": enquiry.text, "holder": job.holder},
        )


def _why_closed(enquiry: Enquiry) -> str:
    if enquiry.answered_at:
        return _("This question has been answered already.")
    return _("We took this question back. You need not answer it.")


def _store(job: Job, text: str, by: Actor, once: str, about: Finding | None, work_waits: bool) -> Enquiry:
    try:
        with transaction.atomic():
            return Enquiry.objects.create(
                job=job,
                finding=about,
                text=text,
                work_waits=work_waits and job.stage in stages.MAY_WAIT_FOR_WORD,
                asked_at=timezone.now(),
                asked_by=by.name,
                once=once,
            )
    except IntegrityError as clash:
        raise Refused(_("This form was used before. Load the page again and ask once more.")) from clash
