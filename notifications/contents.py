"""What each kind of letter tells beside the things common to all: read from the entry and from rows that no longer change."""

from collections.abc import Callable
from datetime import date
from typing import Any

from django.utils import timezone
from django.utils.translation import get_language, to_locale
from django.utils.translation import gettext as _

from jobs import money, refs
from jobs.accounts import Account
from jobs.actions.warranting import will_have_warranty
from jobs.adding_up import credit_of
from jobs.evidence import answer_to, sheet
from jobs.history import aftercare_of
from jobs.models import Decision, Entry, Finding, Job, Line, Quote, Wording
from jobs.words import Certainty, FailedAgain, Need, TaxMode
from notifications import copies, paying

Content = dict[str, Any]


def about(letter: str, entry: Entry) -> Content:
    """The variables of a letter's templates, by its kind."""
    tell = _CONTENTS.get(letter)
    return tell(entry) if tell else {}


def _sum(minor: int, currency: str) -> str:
    return money.show(minor, currency, to_locale(get_language() or "en-gb"))


def _day(iso: str | None) -> date | None:
    return date.fromisoformat(iso) if iso else None


def _dates(job: Job) -> Content:
    return {"likely_by": job.likely_by, "surely_by": job.surely_by}


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


# --- quotes and answers ---------------------------------------------------------------------------------------------


def _quote_row(entry: Entry) -> Quote:
    return entry.job.quotes.get(n=entry.data["quote"])


def _quote_sent(entry: Entry) -> Content:
    quote = _quote_row(entry)
    lines = list(quote.lines.asked().prefetch_related("outcomes"))
    numbers = sheet(quote)
    needed, everything = (answer_to(quote, yes) for yes in (numbers.needed, numbers.everything))
    return {
        "rows": [_offered(line, quote.currency) for line in lines],
        "replaces": entry.data["replaces"],
        "adds": quote.is_supplementary,
        "work_waits": quote.work_waits,
        "deposit": _sum(quote.deposit, quote.currency) if quote.deposit else "",
        "note": quote.note,
        "valid_until": quote.valid_until,
        "needed": _sum(needed.lowest, quote.currency),
        "everything": _sum(everything.highest, quote.currency),
        "has_choice": needed.lowest < everything.highest,
        "story": entry.job.story,
        "story_answer": entry.job.story_answer,
        "findings": _findings(entry.job),
        # What the dates depend on is often the answer itself, so only the letter that asks for it says so.
        "promise_note": entry.job.promise_note,
        **_tax(quote),
        **_dates(entry.job),
    }


def _offered(line: Line, currency: str) -> Content:
    price = _sum(line.price, currency)
    return {
        "title": line.title,
        "need": "" if line.is_fixed else _how_asked(line),
        "sum": _("up to %(sum)s") % {"sum": price} if line.up_to else price,
    }


def _how_asked(line: Line) -> str:
    """needed; if you like, one of several; needed, tried first."""
    words = [str(Need(line.need).label)]
    if line.either is not None:
        words.append(_("one of several"))
    if line.outcomes.all():
        words.append(_("tried first"))
    return ", ".join(words)


def _findings(job: Job) -> list[Content]:
    standing = Finding.objects.standing().filter(job=job).worst_first()
    return [
        {"title": found.title.rstrip("."), "certainty": Certainty(found.certainty).label}
        for found in standing
    ]


def _tax(quote: Quote) -> Content:
    charged = quote.tax_mode != TaxMode.NONE and quote.tax_rate_bp > 0
    return {
        "tax_name": quote.tax_name if charged else "",
        "tax_added": charged and quote.tax_mode == TaxMode.ADDED,
    }


def _decided(entry: Entry) -> Content:
    quote = _quote_row(entry)
    decision: Decision = quote.decision
    choices = list(decision.choices.select_related("line").order_by("line__position", "pk"))
    ahead = [choice for choice in choices if choice.line.outcome_id is not None]
    agreed = [choice.line for choice in choices if choice.yes and choice not in ahead]
    credit = credit_of(sheet(quote), {line.pk for line in agreed})
    stands = paying.stands_at(entry)
    copy = copies.copy_for(entry)
    sentence, _line_end, terms = decision.sentence.partition("\n")
    return {
        "copy_name": copy.name if copy else "",
        "copy_hash": copy.paper.sha256 if copy else "",
        "noted_by": decision.noted_by,
        "agreed": decision.agreed_anything,
        "collect": entry.job.return_by == "collect",
        "adds": quote.is_supplementary,
        "rows": [_offered(line, quote.currency) for line in agreed],
        "credit": _sum(-credit, quote.currency) if credit else "",
        "branches": [_offered(choice.line, quote.currency) for choice in ahead if choice.yes],
        "left": [choice.line.title for choice in choices if not (choice.yes or choice in ahead)],
        "net": _sum(decision.net, quote.currency),
        "tax": _sum(decision.tax, quote.currency),
        "gross": _sum(decision.gross, quote.currency),
        "costs": decision.gross > 0,
        "most": _most(decision),
        "ceiling": "" if decision.ceiling is None else _sum(decision.ceiling, quote.currency),
        **paying.asked_for(
            entry, stands, stands.deposit_due if decision.agreed_anything else _due_at_the_end(entry, stands)
        ),
        "name": decision.name,
        "at": decision.at,
        "by_telephone": decision.way == Decision.Way.TELEPHONE,
        # The terms are long; where a copy comes with the letter, they stand in it.
        "sentence": sentence if copy else decision.sentence,
        "terms_in_copy": bool(copy and terms),
        "quote_n": quote.n,
        "shown_hash": decision.shown_hash,
        "journal_hash": entry.hash,
        "journal_seq": entry.seq,
        **_tax(quote),
        **_dates(entry.job),
    }


def _most(decision: Decision) -> str:
    """How far an answer may go, where that is further than its sum: never above their ceiling."""
    highest = decision.gross if decision.highest is None else decision.highest
    most = highest if decision.ceiling is None else min(highest, decision.ceiling)
    return _sum(most, decision.quote.currency) if most > decision.gross else ""


def _due_at_the_end(entry: Entry, stands: Account) -> int:
    """What is due when nothing is agreed: it goes back, unless something else was agreed before."""
    return 0 if _quote_row(entry).is_supplementary else stands.due


def _quote_number(entry: Entry) -> Content:
    return {"quote_n": entry.data["quote"], "adds": _quote_row(entry).is_supplementary}


def _nudged(entry: Entry) -> Content:
    quote = _quote_row(entry)
    return {
        "step": entry.data["step"],
        "last": entry.data.get("last", False),
        "sent_at": quote.sent_at,
        "valid_until": quote.valid_until,
        "telephone": entry.job.customer.telephone,
    }


# --- questions, dates, work -----------------------------------------------------------------------------------------


def _question(entry: Entry) -> Content:
    told = entry.data
    return {"question": told["text"], "answer": told.get("answer", ""), "about": told.get("about", "")}


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
    return _dates(entry.job)


def _ready(entry: Entry) -> Content:
    stands = paying.stands_at(entry)
    tests = [proof.get_test_display() for proof in entry.job.proofs.filter(content=True)]
    return {
        "collect": entry.data["return_by"] == "collect",
        "gross": _sum(stands.agreed, stands.currency) if stands.agreed else "",
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
        "cost": _sum(told["cost"], told["currency"]) if told["cost"] else "",
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
    "quote_sent": _quote_sent,
    "quote_withdrawn": _quote_number,
    "quote_lapsed": _quote_number,
    "decided": _decided,
    "staff_decided": _decided,
    "answered": _question,
    "staff_asked": _question,
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
    "paid": paying.paid,
    "payment_undone": paying.undone,
    "tried": paying.tried,
    "nudged": _nudged,
    "staff_call": _nudged,
}
