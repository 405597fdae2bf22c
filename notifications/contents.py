"""What each kind of letter tells beside the things common to all: read from the entry and from rows that no longer change."""

from collections.abc import Callable
from datetime import date
from typing import Any

from django.utils import timezone
from django.utils.translation import gettext as _

from jobs import refs
from jobs.actions.warranting import will_have_warranty
from jobs.history import aftercare_of
from jobs.models import Entry, Wording
from jobs.words import FailedAgain
from notifications import copies, lost, paying, quoting
from notifications.chasing import telling

Content = dict[str, Any]


def about(letter: str, entry: Entry) -> Content:
    """The variables of a letter's templates, by its kind."""
    tell = _CONTENTS.get(letter)
    return tell(entry) if tell else {}


def _day(iso: str | None) -> date | None:
    return date.fromisoformat(iso) if iso else None


def _claim_opened(entry: Entry) -> Content:
    return {"story": entry.job.story, "claim_on": refs.show(entry.data["claim_on"])}


def _arrived(entry: Entry) -> Content:
    told = entry.data
    names = {"body": _("the camera"), "lens": _("a lens"), "caps": _("caps"), "case": _("a case")}
    came = [name for key, name in names.items() if told[key]]
    return {"came": came, "loose_parts": told["loose_parts"], "condition": told["condition"]}


# --- findings -------------------------------------------------------------------------------------------------------


def _finding(entry: Entry) -> Content:
    """As it was worded by this entry, whatever was corrected since."""
    wording = Wording.objects.get(finding=entry.data["finding"], n=entry.data["wording"])
    said = wording.content
    return {
        "title": said["title"].rstrip("."),
        "found": said["text"],
        "explained": said.get("shown", {}).get("short", ""),
        "certainty": said["certainty"],
        "bearing": said["bearing"],
        "because": entry.data.get("because", ""),
    }


def _finding_withdrawn(entry: Entry) -> Content:
    return {"title": entry.data["title"].rstrip("."), "because": entry.data["because"]}


# --- questions, dates, work -----------------------------------------------------------------------------------------


def _question(entry: Entry) -> Content:
    told = entry.data
    return {"question": told["text"], "answer": told.get("answer", ""), "about": told.get("about", "")}


def _enquired(entry: Entry) -> Content:
    told = entry.data
    return {"question": told["text"], "about": told["about"], "work_waits": told["work_waits"]}


def _promised(entry: Entry) -> Content:
    told = entry.data
    return {
        "likely_by": _day(told["likely_by"]),
        "surely_by": _day(told["surely_by"]),
        "promise_note": told["note"],
    }


def _part(entry: Entry) -> Content:
    return {"part": entry.data["part"], "expected_on": _day(entry.data["expected_on"])}


def _work(entry: Entry) -> Content:
    return quoting.dates(entry.job)


def _ready(entry: Entry) -> Content:
    stands = paying.stands_at(entry)
    tests = [proof.get_test_display() for proof in entry.job.proofs.filter(content=True)]
    return {
        "collect": entry.data["return_by"] == "collect",
        "gross": paying.shown(stands.agreed, stands.currency) if stands.agreed else "",
        "tests": list(dict.fromkeys(tests)),
        "story": entry.job.story,
        "story_answer": entry.job.story_answer,
        **paying.due(entry),
    }


def _sent_back(entry: Entry) -> Content:
    mended = entry.job.stage == "returned"
    warranty_follows = mended and will_have_warranty(entry.job)
    return {
        "carrier": entry.data["carrier"],
        "tracking": entry.data["tracking"],
        "mended": mended,
        **paying.due(entry),
        "warranty_follows": warranty_follows,
        # The warranty's letter comes when it is home, and carries this; without a warranty this letter is the last.
        "aftercare": None if warranty_follows else aftercare_of(entry.job),
    }


def _warranty(entry: Entry) -> Content:
    covers = list(entry.job.warranty.covers.all())
    copy = copies.copy_for(entry)
    return {
        "copy_name": copy.name if copy else "",
        "copy_hash": copy.paper.sha256 if copy else "",
        "starts_on": entry.job.warranty.starts_on,
        "covered": [cover for cover in covers if cover.until],
        "left_out": [cover for cover in covers if not cover.until],
        "aftercare": aftercare_of(entry.job),
    }


def _withdrawn(entry: Entry) -> Content:
    told = entry.data
    return {
        "because": told["because"],
        "cost": paying.shown(told["cost"], told["currency"]) if told["cost"] else "",
        "is_here": hasattr(entry.job, "arrival"),
        "collect": entry.job.return_by == "collect",
        "by_us": entry.by_kind != "customer",
        **paying.due(entry),
    }


def _claim_judged(entry: Entry) -> Content:
    told = entry.data
    return {
        "because": told.get("because", ""),
        "nothing_wrong": told.get("again") == FailedAgain.NOTHING,
        "goodwill": told.get("goodwill", False),
    }


def _warranty_ends(entry: Entry) -> Content:
    day = timezone.localdate(entry.at)
    covers = entry.job.warranty.covers.filter(until__gte=day).order_by("until", "pk")
    return {"last": _day(entry.data["last"]), "covered": list(covers)}


def _claim(entry: Entry) -> Content:
    return {"claim": refs.show(entry.data["claim"]), "story": entry.data["story"]}


_CONTENTS: dict[str, Callable[[Entry], Content]] = {
    "claim_opened": _claim_opened,
    "arrived": _arrived,
    "finding_posted": _finding,
    "finding_corrected": _finding,
    "finding_withdrawn": _finding_withdrawn,
    "quote_sent": quoting.quote_sent,
    "quote_withdrawn": quoting.quote_number,
    "quote_lapsed": quoting.quote_number,
    "decided": quoting.decided,
    "staff_decided": quoting.decided,
    "answered": _question,
    "staff_asked": _question,
    "enquired": _enquired,
    "staff_answered": _question,
    "promised": _promised,
    "part_awaited": _part,
    "not_content": _work,
    "ready": _ready,
    "sent_back": _sent_back,
    "warranty": _warranty,
    "withdrawn": _withdrawn,
    "staff_withdrawn": _withdrawn,
    "staff_claim": _claim,
    "claim_judged": _claim_judged,
    "claim_accepted": _claim_judged,
    "warranty_ends": _warranty_ends,
    "staff_came_back": lost.came_back,
    "paid": paying.paid,
    "payment_undone": paying.undone,
    "tried": paying.tried,
    "try_undone": paying.try_undone,
    "nudged": telling.quote,
    "nudged_question": telling.question,
    "nudged_payment": telling.payment,
    "nudged_collection": telling.collection,
    "staff_call": telling.call,
}
