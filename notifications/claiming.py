"""Who has a letter: taken by one conditional UPDATE, held under a lease, given back, or freed when its holder was killed.

A worker takes a few at once, because asking costs more than sending. What it does not come to it gives back untouched.
"""

from datetime import datetime, timedelta
from typing import Any, cast
from uuid import UUID, uuid4

from django.conf import settings
from django.db import connection, transaction
from django.db.models import F, Field, QuerySet
from django.utils import timezone

from notifications import waits
from notifications.models import Letter

State = Letter.State
Condition = tuple[str, list[str]]  # in SQL, and its parameters
ALWAYS: Condition = ("TRUE", [])

AT_ONCE = 10  # letters that one claim takes; so many wait a minute longer when their worker is killed
AWAKE_FOR = timedelta(seconds=60)  # so long a worker that was told about a letter has to take it


def claim(letter_id: int, now: datetime | None = None) -> Letter | None:
    """Take a due letter. Of two workers that try at once, exactly one changes the row and gets it."""
    moment = now or timezone.now()
    token = _take(due(moment), [letter_id], moment)
    taken = _read([letter_id], token) if token else []
    return taken[0] if taken else None


def claim_some(first: int | None = None, now: datetime | None = None) -> list[Letter]:
    """Take up to AT_ONCE due letters, `first` before the others. Empty when none is due that nobody has.

    On PostgreSQL two workers pass each other by (SKIP LOCKED); on SQLite the transaction itself lets them take turns.
    """
    moment = now or timezone.now()
    owed = due(moment)
    with transaction.atomic():
        free = owed.select_for_update(skip_locked=True, of=("self",))
        chosen = list(free.filter(pk=first).values_list("pk", flat=True)) if first else []
        others = free.exclude(pk__in=chosen).order_by("next_attempt_at", "pk")
        chosen += others.values_list("pk", flat=True)[: AT_ONCE - len(chosen)]
        token = _take(owed, chosen, moment) if chosen else None
    return _read(chosen, token) if token else []


def due(moment: datetime) -> QuerySet[Letter]:
    """Letters whose time has come, but for those whose way rests. Who asks for one by hand does not wait for that."""
    return Letter.objects.owed(moment).exclude(by_hand=False, channel__in=waits.resting(moment))


def give_back(letters: list[Letter]) -> None:
    """Nothing was done about these: as if they had never been taken."""
    mine = Letter.objects.filter(pk__in=[letter.pk for letter in letters], state=State.SENDING)
    mine = mine.filter(lease_token__in={letter.lease_token for letter in letters})
    free = {"attempts": F("attempts") - 1, "lease_token": None, "lease_until": None, "woken_at": None}
    mine.filter(doubts__gt=0).update(state=State.AMBIGUOUS, **free)
    mine.filter(doubts=0).update(state=State.WAITING, **free)


def mine(letter: Letter) -> QuerySet[Letter]:
    """The row of a letter as long as it is ours, and nobody has brought news of it: it may have come back before its server said yes."""
    return Letter.objects.filter(pk=letter.pk, state=State.SENDING, lease_token=letter.lease_token)


def note(letter: Letter, changes: dict[str, Any], only_if: Condition = ALWAYS) -> bool:
    """Change the row of a letter as long as it is `mine`, and as long as `only_if` is true of it. Returns whether it was changed.

    `mine(letter).update(**changes)` would do the same. But each letter asks for it twice, and Django takes several times longer to put
    the statement together than the database to carry it out, on SQLite with the lock held.
    """
    ours = {"id": letter.pk, "state": State.SENDING, "lease_token": letter.lease_token}
    further, told = only_if
    sets, holds = ", ".join(map(_equals, changes)), " AND ".join([*map(_equals, ours), further])
    statement = f"UPDATE {Letter._meta.db_table} SET {sets} WHERE {holds}"  # noqa: S608 - names of our own
    with connection.cursor() as cursor:
        cursor.execute(statement, [*_values(changes), *_values(ours), *told])
        return bool(cursor.rowcount)


def lease() -> timedelta:
    """Longer than any task may live: when it has run out, the worker is gone."""
    return timedelta(seconds=settings.CELERY_TASK_TIME_LIMIT + 10)


def to_wake(limit: int = 200) -> list[int]:
    """Due letters that no worker was told about lately: after an hour without a broker, all of them; in a backlog, none twice."""
    now = timezone.now()
    lately = Letter.objects.filter(woken_at__gt=now - AWAKE_FOR, woken_at__gte=F("next_attempt_at"))
    owed = due(now).exclude(pk__in=lately.values("pk"))
    return list(owed.order_by("next_attempt_at", "pk").values_list("pk", flat=True)[:limit])


def _equals(column: str) -> str:
    return f'"{column}" = %s'


def _values(fields: dict[str, Any]) -> list[Any]:
    """In the form in which the database keeps them."""
    known = Letter._meta.get_field
    return [
        cast("Field[Any, Any]", known(name)).get_db_prep_save(value, connection)
        for name, value in fields.items()
    ]


def _take(owed: QuerySet[Letter], ids: list[int], moment: datetime) -> UUID | None:
    token = uuid4()
    taken = owed.filter(pk__in=ids).update(
        state=State.SENDING,
        attempts=F("attempts") + 1,
        lease_token=token,
        lease_until=moment + lease(),
        handed_at=None,
    )
    return token if taken else None


def _read(ids: list[int], token: UUID) -> list[Letter]:
    """What was taken, once the lock is free for others: the lease holds it, not the transaction."""
    found = Letter.objects.select_related("entry", "job__item", "job__customer", "person")
    rows = {letter.pk: letter for letter in found.filter(pk__in=ids, lease_token=token)}
    return [rows[pk] for pk in ids if pk in rows]
