"""Everything that the quote's page shows, gathered; and the same page as a copy to keep, as it stood when it was answered."""

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from django.conf import settings
from django.template.loader import render_to_string
from django.urls import reverse
from django.utils import timezone
from django.utils.safestring import mark_safe
from django.utils.translation import gettext as _

from jobs import money
from jobs.accounts import account
from jobs.actions.leaving import cost_of_leaving
from jobs.evidence import content, sheet_of
from jobs.models import Choice, Job, Quote, Workshop
from jobs.words import FIXED_KINDS, LeftAs
from portal.customer import offer, quote_changes, quote_page, quote_sums, terms
from portal.customer.forms import once_key
from portal.customer.quote_form import QuoteForm

STYLESHEET = Path(settings.BASE_DIR) / "portal/static/portal/benchletter.css"


@dataclass(frozen=True)
class Before:
    """A quote that was answered before the one on the page. `agreed` are (title, price in words), branches among them."""

    quote: Quote
    agreed: list[tuple[str, str]]
    declined: list[str]
    gross: int


def shown(
    job: Job, quote: Quote, form: QuoteForm | None = None, theirs: bool = True, seen: Quote | None = None
) -> dict[str, Any]:
    """The page's variables. `form` as it came back, if it did; `seen` an older quote that was open in their browser."""
    told = content(quote)
    sheet = sheet_of(told)
    state = offer.state_of(quote)
    if state == "open" and theirs:
        form = form or QuoteForm(quote, told)
    decision = quote.decision if state == "answered" else None
    yes = quote_page.agreed_in(quote) if decision else None
    asked = quote_page.questions(job, quote, told, sheet, form, yes)
    may_leave = form is not None and not quote.is_supplementary and job.may_be_called_off
    return {
        "job": job,
        "quote": quote,
        "state": state,
        "my_url": reverse("my", args=[job.shown_ref]),
        "form": form,
        "questions": asked,
        "asked": [each for each in quote_page.flat(asked) if each.may_ask],
        "reckoning": _reckoning(quote, form, sheet, yes),
        "decision": decision,
        "agreed": bool(decision and decision.agreed_anything),
        "has_up_to": any(line.get("up_to") for line in told["lines"]),
        "has_tries": any(line.get("outcomes") for line in told["lines"]),
        "changes": quote_changes.since(quote, seen) if state == "open" else [],
        "since": seen or quote.replaces,
        "sum_title": _("What it comes to") if not form else "",
        "before": before(job, quote),
        "so_far": account(job).agreed if quote.is_supplementary else 0,
        "declined": if_declined(quote),
        "leaving": cost_of_leaving(job) if may_leave else None,
        "sentence": terms.sentence(quote, told),
        "terms": terms.terms(quote, told),
        "button": terms.button(),
        "refuse_button": terms.refuse_button(),
        "refusal": terms.refusal(),
        "once": once_key(),
        "renew_words": _("Please renew quote %(n)s; I would like to answer it.") % {"n": quote.n},
    }


def _reckoning(
    quote: Quote, form: QuoteForm | None, sheet: Any, yes: frozenset[int] | None
) -> quote_sums.Reckoning:
    if form:
        return of_form(form)
    if yes is None:
        return quote_sums.read(quote, sheet, sheet.needed, choosing=False)
    return quote_sums.read(quote, sheet, yes, ceiling=quote.decision.ceiling, choosing=False)


def of_form(form: QuoteForm) -> quote_sums.Reckoning:
    """What the answer so far comes to, and why it cannot be given so, if it cannot."""
    problems = [sentence for _field, sentence in form.problems()]
    return quote_sums.read(
        form.row,
        form.sheet,
        form.yes(),
        sums=form.sums(),
        ceiling=form.ceiling_so_far(),
        problems=problems,
    )


def if_declined(quote: Quote) -> str:
    """What the item is like when it goes home if they say no; "" where nothing was said about it."""
    how = str(LeftAs(quote.if_declined).label) if quote.if_declined else ""
    return ". ".join(filter(None, [how, quote.if_declined_note.rstrip(".")]))


def before(job: Job, quote: Quote) -> list[Before]:
    """What was answered before, newest first."""
    if not quote.is_supplementary:
        return []
    older = list(offer.sent(job).filter(n__lt=quote.n, state=Quote.State.ANSWERED).select_related("decision"))
    choices = Choice.objects.filter(decision__quote__in=older).values_list("decision__quote", "line", "yes")
    answers: dict[int, dict[int, bool]] = {}
    for quote_id, line, yes in choices:
        answers.setdefault(quote_id, {})[line] = yes
    return [_before(each, answers.get(each.pk, {})) for each in older]


def _before(quote: Quote, answers: dict[int, bool]) -> Before:
    agreed, declined = [], []
    for line in content(quote)["lines"]:
        follow_ons = [each for turn in line.get("outcomes", ()) for each in turn["follow_ons"]]
        if answers.get(line["id"]):
            agreed.append((line["title"], money.show(line["price"], quote.currency)))
            agreed += [
                (
                    _("If need be: %(what)s") % {"what": each["title"]},
                    f"+ {money.show(each['price'], quote.currency)}",
                )
                for each in follow_ons
                if answers.get(each["id"])
            ]
        elif line["kind"] not in FIXED_KINDS:
            declined.append(line["title"])
    return Before(quote, agreed, declined, quote.decision.gross)


def page_as_seen(job: Job, quote: Quote, form: QuoteForm, house: Workshop | None = None) -> bytes:
    """The page as they had it before them when they pressed the button: the same templates, to read only, in UTF-8.

    Without anything of the session: no token, no keys of forms, no scripts. Its style is in it, so that it stands by itself.
    """
    told = shown(job, quote, form) | {
        "theirs": True,
        "copy": True,
        "workshop": house or Workshop.objects.current(),
        "style": mark_safe(f"<style>{STYLESHEET.read_text()}</style>"),  # noqa: S308 - our own file
        "at": timezone.localtime(),
        "typed": form.cleaned_data,
        "pressed": terms.refuse_button() if form.declines else terms.button(),
    }
    return render_to_string("customer/quote/copy.html", told).strip().encode()
