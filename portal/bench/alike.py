"""What turned out behind stories like this one, at this bench: in words, for staff only."""

from dataclasses import dataclass
from math import ceil, floor

from django.utils.text import get_text_list
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from jobs import collection, remembering
from jobs.learning import Count
from jobs.library.symptoms import symptoms, symptoms_of
from jobs.models import Job

MOST_SHOWN = 3


@dataclass(frozen=True)
class Turned:
    """One explanation, how often it turned out true, and how far that can be trusted."""

    key: str
    title: str
    counted: str
    trust: str


@dataclass(frozen=True)
class Alike:
    """`told`: the symptoms that make a story one of these, in words."""

    told: str
    turned: list[Turned]


def alike(job: Job) -> Alike | None:
    """None where fewer than three closed jobs had such a story, or the job is over."""
    counts = remembering.counts_for(job)[:MOST_SHOWN]
    if not counts:
        return None
    library, words = collection.entries(), symptoms()
    told = [words[key].label for key in words if key in symptoms_of(job.story)]
    turned = [
        Turned(count.explanation, library[count.explanation].title, counted(count), trust(count))
        for count in counts
    ]
    return Alike(get_text_list(told, _("and")), turned)


def counted(count: Count) -> str:
    """7 of 9 such stories here"""
    words = ngettext("%(hits)s of %(n)s such story here", "%(hits)s of %(n)s such stories here", count.tries)
    return words % {"hits": count.hits, "n": count.tries}


def trust(count: Count) -> str:
    """between 45 and 94 in a hundred; rounded outwards, so that it never claims more than was counted"""
    low, high = count.interval
    return _("between %(low)s and %(high)s in a hundred") % {
        "low": floor(low * 100),
        "high": ceil(high * 100),
    }
