"""The owner's own paragraph in every letter of a kind: which kinds take one, and what stands in it now."""

import re
from collections.abc import Mapping

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from notifications.models import OwnWords
from notifications.plan import PLANS

LONGEST = 1000
ADDRESS = re.compile(r"https?:|\bwww\.|://", re.IGNORECASE)
# These carry what opens or signs something, and nothing beside it that could lead somebody astray.
NEVER_IN = {"code", "link_asked"}

# What each letter is for, in the order in which a customer meets them.
ABOUT: Mapping[str, Promise] = {
    "booked": _("After somebody has booked in: how to pack it and where to send it"),
    "claim_opened": _("After a claim under warranty: how to send it"),
    "arrived": _("It has arrived"),
    "finding_posted": _("Something was found"),
    "finding_corrected": _("A finding was corrected"),
    "finding_withdrawn": _("A finding was taken back"),
    "quote_sent": _("The quote"),
    "quote_withdrawn": _("The quote was taken back"),
    "quote_lapsed": _("The quote has lapsed"),
    "nudged": _("A reminder of the quote"),
    "nudged_question": _("A reminder of our question"),
    "nudged_payment": _("A reminder of what is to be paid"),
    "nudged_collection": _("A reminder to collect it"),
    "decided": _("Their answer to the quote, with its copy"),
    "answered": _("Our answer to their question"),
    "enquired": _("Our question to them"),
    "promised": _("The dates by which it is likely, and almost surely, done"),
    "part_awaited": _("A part was ordered"),
    "tried": _("What came out of a try"),
    "try_undone": _("What came out of a try was noted by mistake"),
    "not_content": _("It goes back to the bench once more"),
    "ready": _("It is ready"),
    "paid": _("A receipt"),
    "payment_undone": _("A receipt was sent by mistake"),
    "sent_back": _("It is on its way home"),
    "withdrawn": _("The job ends without a repair"),
    "warranty": _("The warranty, with its card"),
    "warranty_ends": _("The warranty ends soon"),
    "claim_judged": _("A claim is not covered"),
    "claim_accepted": _("A claim is done at no charge"),
}


def kinds() -> list[str]:
    """Kinds of letters to customers that take own words, in that order; one that is new comes last."""
    planned = {plan.letter for plans in PLANS.values() for plan in plans if not plan.to_workshop} - NEVER_IN
    return [kind for kind in ABOUT if kind in planned] + sorted(planned - set(ABOUT))


def about(kind: str) -> str:
    return str(ABOUT.get(kind, kind.replace("_", " ")))


def words_for(kind: str, language: str) -> str:
    """What stands in letters of this kind in this language, "" where there is nothing of the owner's own."""
    if kind in NEVER_IN:
        return ""
    kept = OwnWords.objects.filter(kind=kind, language=language).values_list("text", flat=True).first()
    return kept or ""


def holds_an_address(text: str) -> bool:
    """Whether it names a web address: letters lead to our own host and nowhere else."""
    return bool(ADDRESS.search(text))


def keep(kind: str, language: str, text: str) -> None:
    """Keep a paragraph, or take it away (""). Letters that are written from now on have it; those that wait stay as they are."""
    if kind not in kinds():
        raise KeyError(kind)
    if text := text.strip():
        OwnWords.objects.update_or_create(kind=kind, language=language, defaults={"text": text[:LONGEST]})
    else:
        OwnWords.objects.filter(kind=kind, language=language).delete()
