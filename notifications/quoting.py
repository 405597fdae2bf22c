"""What letters about quotes and answers tell: lines, sums and what was agreed, from the evidence and rows that no longer change."""

from typing import Any

from django.utils.translation import gettext as _

from jobs.accounts import Account
from jobs.adding_up import credit_of
from jobs.evidence import reckon_answer, sheet
from jobs.models import Decision, Entry, Finding, Job, Line, Quote
from jobs.words import Certainty, Need, TaxMode
from notifications import copies
from notifications.paying import asked_for, shown, stands_at

Content = dict[str, Any]


def dates(job: Job) -> Content:
    return {"likely_by": job.likely_by, "surely_by": job.surely_by}


def _quote_row(entry: Entry) -> Quote:
    return entry.job.quotes.get(n=entry.data["quote"])


def quote_sent(entry: Entry) -> Content:
    quote = _quote_row(entry)
    lines = list(quote.lines.asked().prefetch_related("outcomes"))
    numbers = sheet(quote)
    needed, everything = (reckon_answer(quote, numbers, yes) for yes in (numbers.needed, numbers.everything))
    return {
        "rows": [_offered(line, quote.currency) for line in lines],
        "replaces": entry.data["replaces"],
        "adds": quote.is_supplementary,
        "work_waits": quote.work_waits,
        "deposit": shown(quote.deposit, quote.currency) if quote.deposit else "",
        "note": quote.note,
        "valid_until": quote.valid_until,
        "needed": shown(needed.lowest, quote.currency),
        "everything": shown(everything.highest, quote.currency),
        "has_choice": needed.lowest < everything.highest,
        "story": entry.job.story,
        "story_answer": entry.job.story_answer,
        "findings": _findings(entry.job),
        # What the dates depend on is often the answer itself, so only the letter that asks for it says so.
        "promise_note": entry.job.promise_note,
        **_tax(quote, everything.total.tax),
        **dates(entry.job),
    }


def _offered(line: Line, currency: str) -> Content:
    price = shown(line.price, currency)
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


def _tax(quote: Quote, due: int) -> Content:
    """`due`: the tax that the sum comes to, in minor units; a line may have a rate where the quote's usual one is nothing."""
    charged = quote.tax_mode != TaxMode.NONE and due != 0
    return {
        "tax_name": quote.tax_name if charged else "",
        "tax_added": charged and quote.tax_mode == TaxMode.ADDED,
    }


def decided(entry: Entry) -> Content:
    quote = _quote_row(entry)
    decision: Decision = quote.decision
    choices = list(decision.choices.select_related("line").order_by("line__position", "pk"))
    ahead = [choice for choice in choices if choice.line.outcome_id is not None]
    agreed = [choice.line for choice in choices if choice.yes and choice not in ahead]
    credit = credit_of(sheet(quote), {line.pk for line in agreed})
    stands = stands_at(entry)
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
        "credit": shown(-credit, quote.currency) if credit else "",
        "branches": [_offered(choice.line, quote.currency) for choice in ahead if choice.yes],
        "left": [choice.line.title for choice in choices if not (choice.yes or choice in ahead)],
        "net": shown(decision.net, quote.currency),
        "tax": shown(decision.tax, quote.currency),
        "gross": shown(decision.gross, quote.currency),
        "costs": decision.gross > 0,
        "so_far": shown(stands.agreed, stands.currency) if quote.is_supplementary else "",
        "most": _most(decision),
        "ceiling": "" if decision.ceiling is None else shown(decision.ceiling, quote.currency),
        **asked_for(
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
        **_tax(quote, decision.tax),
        **dates(entry.job),
    }


def _most(decision: Decision) -> str:
    """How far an answer may go, where that is further than its sum: never above their ceiling."""
    highest = decision.gross if decision.highest is None else decision.highest
    most = highest if decision.ceiling is None else min(highest, decision.ceiling)
    return shown(most, decision.quote.currency) if most > decision.gross else ""


def _due_at_the_end(entry: Entry, stands: Account) -> int:
    """What is due when nothing is agreed: it goes back, unless something else was agreed before."""
    return 0 if _quote_row(entry).is_supplementary else stands.due


def quote_number(entry: Entry) -> Content:
    return {"quote_n": entry.data["quote"], "adds": _quote_row(entry).is_supplementary}
