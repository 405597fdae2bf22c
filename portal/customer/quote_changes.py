"""What changed since a quote that this one replaces, sentence by sentence for its reader."""

from collections.abc import Callable

from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from jobs.evidence import content
from jobs.models import Quote
from jobs.revising import Change, changes, traced

LABELS: dict[str, Promise] = {
    "time": gettext_lazy("the time"),
    "need": gettext_lazy("how much we urge it"),
    "kind": gettext_lazy("what it is"),
    "mechanism": gettext_lazy("the part of the camera"),
    "tax": gettext_lazy("tax"),
    "months": gettext_lazy("warranty"),
    "requires": gettext_lazy("only together with"),
    "either": gettext_lazy("instead of"),
    "findings": gettext_lazy("what it answers"),
    "outcomes": gettext_lazy("how the try may turn out"),
    "deposit": gettext_lazy("the deposit"),
    "credit": gettext_lazy("the examination is taken off again"),
    "declined": gettext_lazy("how it goes home if you say no"),
    "waits": gettext_lazy("the work waits for your answer"),
}


def since(quote: Quote, seen: Quote | None = None) -> list[str]:
    """What `quote` changes against the one it replaces, or against `seen`, an older one that was open in a browser.

    Nothing where the two have nothing to do with each other.
    """
    older, between, step = seen or quote.replaces, [], quote
    if older is None or older.pk == quote.pk:
        return []
    while step.replaces and step.replaces_id != older.pk:
        step = step.replaces
        between.append(content(step))
    if step.replaces_id != older.pk:
        return []
    return [sentence(each) for each in changes(content(older), traced(content(quote), between))]


def sentence(change: Change) -> str:
    said = SENTENCES.get(change.kind)
    return said(change) if said else _labelled(change)


def _labelled(change: Change) -> str:
    label = str(LABELS[change.kind])
    about = f"{change.title}, {label}" if change.title else label[:1].upper() + label[1:]
    told = {"about": about, "before": change.before or _("none"), "after": change.after or _("none")}
    return _("%(about)s: now “%(after)s”. It was “%(before)s”.") % told


def _note(change: Change) -> str:
    return _("Our note with it is new.") if change.after else _("Our note with it is gone.")


def _until(change: Change) -> str:
    return _("It is good until %(after)s; before, it was until %(before)s.") % vars(change)


SENTENCES: dict[str, Callable[[Change], str]] = {
    "added": lambda change: _("New: %(title)s, %(after)s.") % vars(change),
    "removed": lambda change: _("No longer in it: %(title)s, %(before)s.") % vars(change),
    "title": lambda change: _("“%(before)s” is now called “%(after)s”.") % vars(change),
    "price": lambda change: _("%(title)s: now %(after)s. It was %(before)s.") % vars(change),
    "words": lambda change: _("%(title)s: what we say about it is new.") % vars(change),
    "note": _note,
    "until": _until,
}
