"""Template tags and filters for the look: marks, amounts, days, and the drawings. `{% load look %}`."""

import re
from datetime import date, datetime
from functools import lru_cache
from typing import Any

from babel.numbers import get_currency_symbol
from django import template
from django.forms import BoundField
from django.templatetags.static import static
from django.utils import timezone
from django.utils.functional import Promise
from django.utils.html import escape, format_html, linebreaks
from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import get_language, gettext, ngettext, pgettext, pgettext_lazy, to_locale

from jobs import money as sums
from jobs.revising_words import time_words
from jobs.words import Bearing, Certainty, Effect, Holder, Need, Stage
from portal.drawing import cover, scale
from portal.drawing.turns import Turn

register = template.Library()

LABELS: dict[str, Promise] = {
    choice.value: choice.label
    for words in (Certainty, Bearing, Effect, Need, Holder, Stage)
    for choice in words
}
# What stands on a bench key, where there is room for two short words.
SHORT: dict[str, Promise] = {
    "untried": pgettext_lazy("key", "Not till tried"),
    "explains": pgettext_lazy("key", "Explains it"),
    "use": pgettext_lazy("key", "From use"),
    "earlier": pgettext_lazy("key", "Earlier repair"),
    "separate": pgettext_lazy("key", "Separate"),
    "clears": pgettext_lazy("key", "Clears it"),
    "stops": pgettext_lazy("key", "Stops it"),
    "pictures": pgettext_lazy("key", "Pictures"),
    "worsens": pgettext_lazy("key", "Gets worse"),
    "looks": pgettext_lazy("key", "Only looks"),
}
RINGED = re.compile(r"\((\d)\)")


@register.simple_tag
@lru_cache(maxsize=256)
def icon(name: str, size: str = "i") -> SafeString:
    """A mark out of the sprite, hidden from screen readers: it always stands beside its word. `size` is a class: i or key."""
    return format_html(
        '<svg class="{}" aria-hidden="true"><use href="{}#i-{}"/></svg>',
        size,
        static("portal/icons.svg"),
        name,
    )


@register.filter
def label(value: str) -> str:
    """The word for a value of certainty, bearing, effect, need, holder or stage; an unknown value comes back as it is."""
    return str(LABELS.get(value, value))


@register.filter
def short(value: str) -> str:
    """The same in at most two short words, for a key on the bench."""
    return str(SHORT.get(value) or LABELS.get(value, value))


@register.filter
def numbered(text: str) -> SafeString:
    """Plain text into paragraphs; "(1)" becomes the ringed figure that a mark on the photograph bears. What people wrote is escaped."""
    html = linebreaks(escape(text))
    return mark_safe(RINGED.sub(r'<b class="n">\1</b>', html))  # noqa: S308  escaped on the line above


@register.simple_tag
def money(minor: int | None, currency: str) -> str:
    """An amount in minor units, as the reader's country writes it: {% money 8500 "GBP" %} -> £85. A dash for none."""
    return "–" if minor is None else sums.show(minor, currency, _locale())


@register.filter
def minus(figure: str) -> str:
    """A true minus sign before an amount that is taken off: "−£25"."""
    return figure.replace("-", "\N{MINUS SIGN}", 1) if figure.startswith("-") else figure


@register.simple_tag
def currency_sign(currency: str) -> str:
    """{% currency_sign "GBP" %}: "£", to stand before a field."""
    return get_currency_symbol(currency, locale=_locale())


@register.simple_tag
def price(line: Any, currency: str) -> str:
    """{% price line currency %}: what a line costs, "up to £60" where that is the most. A row, or a line of the evidence."""
    told = line if isinstance(line, dict) else {"price": line.price, "up_to": getattr(line, "up_to", False)}
    figure = sums.show(told["price"], currency, _locale())
    return gettext("up to %(price)s") % {"price": figure} if told.get("up_to") else figure


@register.simple_tag
def time_price(line: Any, currency: str) -> str:
    """{% time_price line currency %}: "90 minutes at £60 an hour"."""
    minutes, per_hour = (
        (line["minutes"], line["per_hour"]) if isinstance(line, dict) else (line.minutes, line.per_hour)
    )
    return time_words(minutes, sums.show(per_hour, currency, _locale()))


def _locale() -> str:
    return to_locale(get_language() or "en-gb")


def as_day(value: date | datetime) -> date:
    """The day in the workshop's time zone."""
    if isinstance(value, datetime):
        return timezone.localtime(value).date() if timezone.is_aware(value) else value.date()
    return value


@register.filter(name="day")
def day_filter(value: date | datetime | None) -> str:
    """`{{ date|day }}`: "Fri 30 October"; with the year where it is not this year's. Nothing for None."""
    if value is None:
        return ""
    day = as_day(value)
    if day.year == timezone.localdate().year:
        return scale.written(day, pgettext("date, this year", "D j F"), get_language())
    return scale.written(day, pgettext("date, another year", "D j F Y"), get_language())


@register.simple_tag(name="day")
def day_tag(value: date | datetime | None) -> SafeString | str:
    """`{% day date %}`: the same inside a <time>, so that machines can read it."""
    if value is None:
        return ""
    return format_html('<time datetime="{}">{}</time>', as_day(value).isoformat(), day_filter(value))


@register.simple_tag
def today() -> SafeString | str:
    """`{% today %}`: today's date, for the letterhead."""
    return day_tag(timezone.localdate())


@register.filter
def day_short(value: date | datetime | None) -> str:
    """ "30 Oct"."""
    return scale.day_text(as_day(value)) if value else ""


@register.filter
def waited(since: date | datetime | None) -> str:
    """`{{ since|waited }}`: "today", "1 day", "19 days"."""
    if since is None:
        return ""
    days = max(0, (timezone.localdate() - as_day(since)).days)
    return gettext("today") if days == 0 else ngettext("%(n)s day", "%(n)s days", days) % {"n": days}


@register.inclusion_tag("parts/when.html")
def when(
    likely: date,
    surely: date | None = None,
    today: date | None = None,
    lead: str = "",
    earliest: date | None = None,
) -> dict[str, Any]:
    """The promise: two dates in words over their scale. `lead` is the sentence above, for what it depends on."""
    drawn = scale.dates(today or timezone.localdate(), likely, surely, earliest)
    return {"likely": likely, "surely": surely if surely != likely else None, "lead": lead, "scale": drawn}


@register.inclusion_tag("parts/verdict.html")
def verdict(kind: str) -> dict[str, Any]:
    """The little rail above an answer about the warranty: yes, no or look."""
    return {"verdict": cover.verdict(kind)}


@register.filter
def day_of(iso: str) -> date:
    """A day as the journal keeps it: "2026-11-27"."""
    return date.fromisoformat(iso)


@register.filter
def widget(field: BoundField) -> str:
    """The kind of a form field: text, textarea, select, radioselect, checkbox, ..."""
    return field.widget_type


WHOSE: dict[str, Promise] = {
    "customer": pgettext_lazy("whose move", "Yours"),
    "workshop": pgettext_lazy("whose move", "Ours"),
    "supplier": pgettext_lazy("whose move", "A supplier’s"),
    "carrier": pgettext_lazy("whose move", "The post’s"),
    "nobody": pgettext_lazy("whose move", "Nobody’s"),
}


@register.filter
def turn_words(turn: Turn) -> str:
    """The heading of a turn, as the customer reads it: "Yours, for 2 days so far"."""
    who = str(WHOSE.get(turn.holder, turn.holder))
    if turn.holder == "nobody":
        return gettext("All done")
    if turn.days == 0:
        words = gettext("%(who)s, since today") if turn.is_open else gettext("%(who)s, for less than a day")
        return words % {"who": who}
    if turn.is_open:
        words = ngettext("%(who)s, for %(n)s day so far", "%(who)s, for %(n)s days so far", turn.days)
    else:
        words = ngettext("%(who)s, for %(n)s day", "%(who)s, for %(n)s days", turn.days)
    return words % {"who": who, "n": turn.days}


@register.filter
def cover_words(row: cover.Row) -> str:
    """What stands beside a promise of the warranty: "until Tue 2 November"."""
    day = day_filter(row.until)
    words = {
        "running": gettext("until %(day)s"),
        "ended": gettext("ended %(day)s"),
        "none": gettext("not covered"),
    }[row.state]
    said = words % {"day": day} if row.until else words
    return f"{said}; {row.note}" if row.note else said
