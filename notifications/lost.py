"""What is said of a letter that did not reach anybody: to the workshop, by letter and in the office."""

from typing import Any

from django.utils.translation import gettext as _

from jobs.models import Entry
from jobs.words import Way
from notifications import links
from notifications.models import DeadAddress, Letter

# A letter in one of these does not reach anybody any more.
LOST = (Letter.State.FAILED, Letter.State.RETURNED, Letter.State.SKIPPED)
BOUNCED, COMPLAINED, REFUSED = "bounced", "complained", "refused"


def why_words(why: str, way: str) -> str:
    if way == Way.TEXT:
        return _("The gateway of text messages refused the number.")
    words = {
        BOUNCED: _("Their mail server sent it back."),
        REFUSED: _("Their mail server refused the address."),
        COMPLAINED: _("It did arrive, but they told their mail program that they did not want it."),
    }
    return words.get(why, "")


def came_back(entry: Entry) -> dict[str, Any]:
    """What the letter says and where it went is read from its row: neither stands in the journal."""
    told = entry.data
    lost = Letter.objects.filter(pk=told["letter"]).first()
    address = lost.to_address if lost else ""
    return {
        "link": links.office_page(entry.job),
        "what": lost.subject if lost else "",
        "address": address,
        "why": why_words(told["why"], told["way"]),
        "is_text": told["way"] == Way.TEXT,
        "already": lost is not None and _told_already(lost),
        "unwanted": told["why"] == COMPLAINED,
        "said": told["said"],
        "next": Way(told["next"]).label if told["next"] else "",
        "dead": DeadAddress.objects.filter(way=told["way"], address=address.lower()).exists(),
    }


def _told_already(lost: Letter) -> bool:
    """Whether the same goes to them by another way, or went."""
    others = Letter.objects.filter(entry=lost.entry_id, person=lost.person_id).exclude(pk=lost.pk)
    return others.exclude(state__in=LOST).exists()
