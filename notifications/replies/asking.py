"""What a reply can do, and all that it can do: answer the one question of ours that is open, or ask one."""

from django.utils.translation import gettext as _
from django.utils.translation import override

from jobs.actions.asking import ask
from jobs.actions.enquiring import answer_enquiry
from jobs.actions.refusals import Refused
from jobs.actor import Actor
from jobs.models import Customer, Enquiry, Job, Question

LONGEST_QUESTION = 2000
LONGEST_ANSWER = 4000


def ask_or_answer(job: Job, person: Customer, text: str, fingerprint: str, by: Actor) -> Question | Enquiry:
    """Called inside a transaction. `fingerprint` makes the same message ask once. Raises Refused."""
    enquiry = _the_open_one(job)
    if enquiry is not None:
        try:
            return answer_enquiry(enquiry, shortened(text, LONGEST_ANSWER, person), by)
        except Refused:
            pass  # it was answered in this moment on their page: then this is something more
    return ask(job, shortened(text, LONGEST_QUESTION, person), by, f"mail{fingerprint[:32]}")


def shortened(text: str, most: int, person: Customer) -> str:
    """As much as a page shows, and that there is more. In the person's language: it stands on their page."""
    if len(text) <= most:
        return text
    with override(person.language):
        more = _("[…] (The letter goes on. We have all of it.)")
    return f"{text[: most - len(more) - 2].rstrip()}\n\n{more}"


def _the_open_one(job: Job) -> Enquiry | None:
    """With two questions open, a letter does not say which it answers."""
    waiting = list(Enquiry.objects.open().filter(job=job)[:2])
    return waiting[0] if len(waiting) == 1 else None
