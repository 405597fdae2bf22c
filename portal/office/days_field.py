"""A field of single days and spans of days, a line each, as an owner writes the days on which the workshop is closed."""

import re
from datetime import date, datetime, timedelta
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

FORMS = ("%Y-%m-%d", "%d/%m/%Y", "%d.%m.%Y", "%d %B %Y", "%d %b %Y")
BETWEEN = re.compile(r"\s+(?:to|until|bis|-|–)\s+|\s*–\s*", re.IGNORECASE)
MOST = 400  # days: more than a year of them is a slip


class ClosedDaysField(forms.CharField):
    """ "24 December 2026", "2026-12-24", "24/12/2026 to 2/1/2027": cleaned to ISO dates, each once, in order."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(widget=forms.Textarea(attrs={"rows": 4}), required=False, max_length=4000, **kwargs)

    def clean(self, value: Any) -> list[str]:
        days: set[date] = set()
        for line in super().clean(value).splitlines():
            if line.strip():
                days |= _days_of(line.strip())
        if len(days) > MOST:
            raise ValidationError(_("That is more than a year of days. Is one of them mistyped?"))
        return [day.isoformat() for day in sorted(days)]

    def prepare_value(self, value: Any) -> Any:
        """Kept days come back as lines, spans together; what was typed comes back as it was."""
        return (
            "\n".join(_lines([date.fromisoformat(each) for each in value]))
            if isinstance(value, list)
            else value
        )


def _days_of(line: str) -> set[date]:
    ends = [_day(part.strip(), line) for part in BETWEEN.split(line)]
    if len(ends) > 2:
        raise _not_read(line)
    if ends[-1] < ends[0]:
        raise ValidationError(_("“%(line)s” ends before it begins."), params={"line": line})
    if (ends[-1] - ends[0]).days > MOST:
        raise ValidationError(_("“%(line)s” is more than a year."), params={"line": line})
    return {ends[0] + timedelta(days=n) for n in range((ends[-1] - ends[0]).days + 1)}


def _day(text: str, line: str) -> date:
    for form in FORMS:
        try:
            return datetime.strptime(text, form).date()  # noqa: DTZ007 - a day has no time zone
        except ValueError:
            continue
    raise _not_read(line)


def _not_read(line: str) -> ValidationError:
    said = _("“%(line)s” is no day. Write 24 December 2026, or 24 December 2026 to 2 January 2027.")
    return ValidationError(said, params={"line": line})


def _lines(days: list[date]) -> list[str]:
    spans: list[list[date]] = []
    for day in days:
        if spans and day - spans[-1][-1] == timedelta(days=1):
            spans[-1].append(day)
        else:
            spans.append([day])
    return [
        " to ".join(f"{day:%d %B %Y}".lstrip("0") for day in dict.fromkeys([span[0], span[-1]]))
        for span in spans
    ]
