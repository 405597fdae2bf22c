"""Reads the journal from where it last stood and writes the letters that are owed. The journal is the outbox.

Repeatable: each entry is dealt with in one transaction, inside its job's lock, and ends with a `Read` row. Killed at any
point, it begins again with the same entries; run twice at once, the second finds them read.
"""

import logging
from dataclasses import dataclass, field
from datetime import timedelta

from django.db import transaction
from django.db.models import Exists, OuterRef, QuerySet
from django.utils import timezone

from jobs.models import Entry, Job, Photo
from notifications import copies, pictures, writing
from notifications.chasing import keeping
from notifications.models import Floor, Letter, Read
from notifications.plan import plans_for
from notifications.sparing import one_of_many

log = logging.getLogger(__name__)

BATCH = 200
# A photograph takes a second or two to develop; a letter that needs it waits for it, but not for ever.
PHOTO_PATIENCE = timedelta(seconds=60)
# No transaction is open this long, so nothing can still turn up below an entry that was read this long ago.
FLOOR_LAG = timedelta(hours=1)


@dataclass
class Outcome:
    """What one run did: entries read, and the letters that should go at once (primary keys)."""

    read: int = 0
    waiting: list[int] = field(default_factory=list)


def run(limit: int = BATCH, patience: timedelta = PHOTO_PATIENCE, enough: int = BATCH) -> Outcome:
    """Look at up to `limit` unread entries, oldest first, until `enough` are dealt with. `patience`: how old an entry may be and still
    wait for its photograph.
    """
    outcome = Outcome()
    for entry_id in unread().values_list("pk", flat=True)[:limit]:
        if outcome.read >= enough:
            break
        with one_of_many("entry", entry_id):  # it stays unread
            _deal_with(entry_id, outcome, patience)
    return outcome


def unread() -> QuerySet[Entry]:
    """Entries that nobody has dealt with. By rows, not by the highest number seen: see `Read`."""
    floor = Floor.objects.values_list("up_to", flat=True).first() or 0
    read = Read.objects.filter(entry=OuterRef("pk"))
    return Entry.objects.filter(~Exists(read), pk__gt=floor).order_by("pk")


def _deal_with(entry_id: int, outcome: Outcome, patience: timedelta) -> None:
    copies.prepare(Entry.objects.get(pk=entry_id))
    with transaction.atomic():
        entry = _hold(entry_id)
        if entry is None or _waits_for_a_photo(entry, patience):
            return
        letters = [letter for plan in plans_for(entry) for letter in writing.write(entry, plan)]
        Read.objects.create(entry=entry)
        _sum_up(entry)
    outcome.read += 1
    outcome.waiting += [letter.pk for letter in letters if _goes_now(letter)]


def _sum_up(entry: Entry) -> None:
    """What the job owes is summed up anew with its newest entry. That holds up no letter."""
    if entry.seq != entry.job.last_seq:
        return
    try:
        with transaction.atomic():
            keeping.refresh(entry.job)
    except Exception:
        log.exception("what job %s owes could not be summed up", entry.job_id)


def _goes_now(letter: Letter) -> bool:
    due = letter.next_attempt_at
    return letter.state == Letter.State.WAITING and due is not None and due <= timezone.now()


def _hold(entry_id: int) -> Entry | None:
    """Lock the entry's job, so that two relays take turns; then look again whether it is still unread."""
    job_id = Entry.objects.values_list("job", flat=True).get(pk=entry_id)
    job = Job.objects.select_for_update(of=("self",)).with_people().get(pk=job_id)
    if Read.objects.filter(entry=entry_id).exists():
        return None
    entry = Entry.objects.get(pk=entry_id)
    entry.job = job
    return entry


def _waits_for_a_photo(entry: Entry, patience: timedelta) -> bool:
    if timezone.now() - entry.at >= patience:
        return False
    return any(
        pictures.candidates(entry, plan.letter).filter(state=Photo.State.PROCESSING).exists()
        for plan in plans_for(entry)
    )


def raise_the_floor() -> int:
    """Move the floor up past entries read long ago and forget their rows. Returns where the floor is now."""
    old = (
        Read.objects.filter(at__lt=timezone.now() - FLOOR_LAG)
        .order_by("-pk")
        .values_list("pk", flat=True)
        .first()
    )
    floor = Floor.objects.values_list("up_to", flat=True).first() or 0
    if old is None:
        return floor
    first_unread = unread().filter(pk__lte=old).values_list("pk", flat=True).first()
    floor = max(floor, first_unread - 1 if first_unread else old)
    with transaction.atomic():
        Floor.objects.update_or_create(pk=1, defaults={"up_to": floor})
        Read.objects.filter(pk__lte=floor).delete()
    return floor
