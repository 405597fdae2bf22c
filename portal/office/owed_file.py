"""What is owed, as a table to take away: one line a thing, days as ISO 8601, sums without their sign beside their currency."""

from collections.abc import Iterator

from django.utils import timezone
from django.utils.translation import gettext as _

from jobs import money
from portal.office.owed_choice import Choice
from portal.office.owed_rows import Row, rows
from portal.spreadsheet import Cell

MOST = 10_000  # lines; a workshop that is owed more has other worries
AT_ONCE = 500  # rows read together


def head() -> list[str]:
    return [
        _("Ref"),
        _("Item"),
        _("Person"),
        _("E-mail"),
        _("Telephone"),
        _("What is owed"),
        _("Since"),
        _("Days"),
        _("Sum"),
        _("Currency"),
        _("Opened since"),
        _("What follows"),
        _("Next reminder"),
        _("Last letter"),
        _("Chance of an answer within a week"),
        _("What a call gains"),
        _("Storage from"),
    ]


def lines(choice: Choice) -> Iterator[list[Cell]]:
    """In the order and with the filter of `choice`; the last line says so where there are more than `MOST`."""
    found = choice.every(MOST + 1)
    for start in range(0, min(len(found), MOST), AT_ONCE):
        for row in rows(found[start : start + AT_ONCE][: MOST - start]):
            yield _line(row)
    if len(found) > MOST:
        yield [_("There are more. Choose one kind of thing owed to have fewer.")]


def _line(row: Row) -> list[Cell]:
    owing, job = row.owing, row.job
    return [
        job.shown_ref,
        job.item.name,
        job.customer.name,
        job.customer.email,
        job.customer.telephone,
        owing.get_about_display(),
        timezone.localdate(owing.since),
        row.days,
        money.to_decimal(owing.money, owing.currency),
        owing.currency,
        _("yes") if row.opened else _("no"),
        row.next,
        owing.next_on,
        row.letter.get_state_display() if row.letter else "",
        f"{owing.chance:.2f}",
        money.to_decimal(owing.gain, owing.currency),
        row.storage.starts if row.storage else None,
    ]
