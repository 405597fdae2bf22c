"""Takes a kept message to its job: as an answer to the one question of ours that is open, else as a question to the bench.

Once, whatever happens: the row's state, the question and the photographs are one transaction. What cannot be taken is set aside with a
reason for the office. Nothing here writes to anybody; the letter that tells the workshop of a question follows from its entry.
"""

import logging
import tempfile
from datetime import timedelta
from pathlib import Path

from django.db import transaction
from django.db.models import F
from django.utils import timezone
from django.utils.translation import gettext as _

from jobs.actions.refusals import Refused
from jobs.actor import Actor
from jobs.darkroom import store
from jobs.models import Customer, Enquiry, Job
from notifications.models import Incoming, Letter
from notifications.replies import address, enclosed, finding_home, keeping, proving
from notifications.replies import head as heads
from notifications.replies.apart import Apart, Unreadable, take_apart
from notifications.replies.asking import ask_or_answer
from notifications.replies.robots import why_robot

log = logging.getLogger(__name__)

State = Incoming.State
MOST_TRIES = 3  # a message that kills every worker is given up
MOST_AN_HOUR = 10  # messages that one job takes by itself; two workers at once may make it one more
AN_HOUR = timedelta(hours=1)


def take(incoming_id: int) -> str:
    """Take a message that has just arrived to where it belongs. Returns the state it is left in, "" when there was nothing to do."""
    new = Incoming.objects.filter(pk=incoming_id, state=State.NEW)
    if not new.update(tries=F("tries") + 1):
        return ""
    incoming = new.get()
    if incoming.tries > MOST_TRIES:
        return set_aside(incoming, _("We tried three times and could not read it."))
    try:
        source = store.path(incoming.file)
        head = heads.read(source.read_bytes())
    except (OSError, heads.TooMuch):
        return set_aside(incoming, _("Its file cannot be read."))
    if proving.note(head):
        return _done(incoming, State.DONE, _("Our own test whether signed addresses arrive."))
    with tempfile.TemporaryDirectory(prefix="letter-in-") as folder:
        return _look_into(incoming, head, source, Path(folder))


def wake_those_left() -> None:
    """Messages that nobody was told about, or whose worker went away."""
    for incoming in Incoming.objects.filter(state=State.NEW).order_by("pk")[:50]:
        keeping.tell(incoming)


def _look_into(incoming: Incoming, head: heads.Head, source: Path, folder: Path) -> str:
    robot = why_robot(head)
    try:
        apart = take_apart(source, folder)
    except Unreadable as wrong:
        if robot:
            return _done(incoming, State.ROBOT, robot)
        return set_aside(
            incoming, _too_much() if wrong.too_much else _("It is damaged: its parts cannot be read.")
        )
    if robot:
        return _robot(incoming, head, apart, robot)
    home = finding_home.home_of(head)
    if isinstance(home, str):
        return set_aside(incoming, home, apart.whole)
    if _is_flooded(home[0]):
        return set_aside(incoming, _("It is one of very many in an hour."), apart.whole, home[0])
    try:
        return take_to(incoming, apart, *home, Actor.customer(home[1]))
    except Refused as refused:
        return set_aside(incoming, refused.sentence, apart.whole, home[0])


def _is_flooded(job: Job) -> bool:
    """Whoever has a letter has its signed address. Each question is a letter to the workshop, and stands on the customer's page."""
    taken = Incoming.objects.filter(job=job, state=State.TAKEN, at__gt=timezone.now() - AN_HOUR)
    return taken.count() >= MOST_AN_HOUR


def take_to(incoming: Incoming, apart: Apart, job: Job, person: Customer, by: Actor) -> str:
    """Put it to the job. Raises Refused where nothing is in it that could be put. Two that do this at once do it once."""
    chosen = enclosed.choose(apart.enclosed)
    text = apart.text or (enclosed.only_photographs(person) if chosen.photographs else "")
    if not text:
        raise Refused(_("There are no words of their own in it."))
    kept = enclosed.keep(
        chosen.photographs
    )  # files before the transaction: it would hold SQLite's one lock meanwhile
    before = incoming.state
    try:
        with transaction.atomic():
            mine = Incoming.objects.filter(pk=incoming.pk, state=before)
            if not mine.update(state=State.TAKEN, job=job, text=text, why=""):
                raise Refused(_("It has been taken to a job already."))
            asked = ask_or_answer(job, person, text, incoming.fingerprint, by)
            taken, refused = enclosed.note(kept, job)
            answered = isinstance(asked, Enquiry)
            Incoming.objects.filter(pk=incoming.pk).update(
                enquiry=asked if answered else None,
                question=None if answered else asked,
                photos=taken,
                left_out=enclosed.named([*chosen.others, *refused]),
            )
    except BaseException:
        enclosed.forget(kept)
        raise
    enclosed.forget([one for one in kept if one.enclosed in refused])
    log.info("message %s was taken to job %s", incoming.pk, job.pk)
    return str(State.TAKEN)


def set_aside(incoming: Incoming, why: str, text: str = "", job: Job | None = None) -> str:
    log.info("message %s is set aside", incoming.pk)
    return _done(incoming, State.ASIDE, why, text, job)


def _robot(incoming: Incoming, head: heads.Head, apart: Apart, why: str) -> str:
    """Kept for the office to read, beside the job that it is about. A report about a letter of ours says more."""
    from notifications import returned

    letter: Letter | None = returned.reported(apart.report) if apart.report else None
    signed = next(filter(None, map(address.whose, head.to)), None)
    job = letter.job if letter else signed[0] if signed else None
    return _done(incoming, State.ROBOT, why, apart.whole, job)


def _done(incoming: Incoming, state: State, why: str, text: str = "", job: Job | None = None) -> str:
    mine = Incoming.objects.filter(pk=incoming.pk, state=State.NEW)
    mine.update(state=state, why=why[:300], text=text, job=job)
    return str(state)


def _too_much() -> str:
    return _("It holds more parts than a letter from a person does, so we did not open it.")
