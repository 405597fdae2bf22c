"""Shutter times before and after the work, in words and as a small table."""

from dataclasses import dataclass

from django.utils.formats import number_format
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from jobs import shutter
from jobs.models import Job
from jobs.shutter import Reading


@dataclass(frozen=True)
class Cell:
    """One measured time: how long, how far off in stops, and whether that is within the allowance."""

    time: str
    off: str
    within: bool


@dataclass(frozen=True)
class Row:
    """One mark of the dial: what it should be, and what was measured, as people read them."""

    mark: str
    target: str
    before: Cell | None = None
    after: Cell | None = None


@dataclass(frozen=True)
class Measured:
    before: str  # sentences; "" when nothing was measured then
    after: str
    rows: list[Row]


def read(job: Job) -> Measured | None:
    """What was measured on a job, or None. One query."""
    readings = {
        (time.mark, time.after_work): shutter.reading(time.mark, time.measured_us)
        for time in job.shutter_times.all()
    }
    if not readings:
        return None
    marks = sorted({mark for mark, _after in readings}, key=lambda mark: -_target(readings, mark))
    before = [readings[mark, False] for mark in marks if (mark, False) in readings]
    after = [readings[mark, True] for mark in marks if (mark, True) in readings]
    rows = [_row(mark, readings.get((mark, False)), readings.get((mark, True))) for mark in marks]
    return Measured(_before(before), _after(after), rows)


def duration(us: int) -> str:
    """1900000 -> "1.9 s", 17500 -> "17.5 ms"."""
    if us >= 1_000_000:
        return _("%(n)s s") % {"n": number_format(us / 1_000_000, 2).rstrip("0").rstrip(".,")}
    return _("%(n)s ms") % {"n": number_format(us / 1000, 1 if us < 100_000 else 0)}


def in_stops(reading: Reading) -> str:
    """How far off, signed: "+0.9 stop" is longer and lets in more light."""
    if round(reading.stops, 1) == 0:
        return _("±0 stop")
    return _("%(n)s stop") % {"n": ("+" if reading.stops > 0 else "−") + number_format(abs(reading.stops), 1)}


def _target(readings: dict[tuple[str, bool], Reading], mark: str) -> int:
    return next(reading.target_us for (each, _after), reading in readings.items() if each == mark)


def _row(mark: str, before: Reading | None, after: Reading | None) -> Row:
    known = after or before
    return Row(
        mark=mark,
        target=duration(known.target_us) if known else "",
        before=_cell(before),
        after=_cell(after),
    )


def _cell(reading: Reading | None) -> Cell | None:
    return Cell(duration(reading.measured_us), in_stops(reading), reading.within) if reading else None


def _before(readings: list[Reading]) -> str:
    if not readings:
        return ""
    worst = max(readings, key=lambda reading: abs(reading.stops))
    if worst.within:
        return _("As it came, every time that we measured was within the usual allowance.")
    return _("As it came, %(mark)s second took %(time)s. %(what)s") % {
        "mark": worst.mark,
        "time": duration(worst.measured_us),
        "what": _("That is too long: the film gets more light than the dial says.")
        if worst.stops > 0
        else _("That is too short: the film gets less light than the dial says."),
    }


def _after(readings: list[Reading]) -> str:
    if not readings:
        return ""
    off = [reading for reading in readings if not reading.within]
    if not off:
        return ngettext(
            "After the work the time that we measured is within the usual allowance.",
            "After the work each of the %(n)s times is within the usual allowance.",
            len(readings),
        ) % {"n": len(readings)}
    return _("After the work %(good)s of %(n)s times are within the usual allowance; %(marks)s is not.") % {
        "good": len(readings) - len(off),
        "n": len(readings),
        "marks": ", ".join(reading.mark for reading in off),
    }
