"""The six figures before an answer: whether they are needed here, sent, sent again, and typed."""

from dataclasses import dataclass
from typing import assert_never

from django.http import HttpRequest
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from jobs.actions import coding
from jobs.models import Job, Quote
from portal.customer.quote_form import QuoteForm
from portal.limits import take

LETTERS, LETTERS_SECONDS = 3, 3600  # about one job
# Five tries a letter, for the weeks that a quote waits: by the hour alone, guessing would get somewhere in a hundred cases.
LETTERS_A_DAY, DAY_SECONDS = 10, 86_400


@dataclass(frozen=True)
class Passed:
    """The answer may be given. `used`: by figures that went to the customer's own address."""

    used: bool


@dataclass(frozen=True)
class Held:
    """Not yet: the page asks for the figures, with all that was chosen and typed. `status` of that page."""

    status: int


def check(request: HttpRequest, job: Job, quote: Quote, form: QuoteForm, device: str) -> Passed | Held:
    """Called with a form that is right in all else. What is wrong with the figures is said next to their field."""
    if not coding.is_needed(job, device, form.sums().highest):
        return Passed(used=False)
    form.asks_code = True
    waiting = coding.waiting(quote, device)
    if waiting is None or "again" in form.data:
        return _send(request, job, quote, form, device)
    if "code" not in form.data:  # the page was loaded anew; the letter is still on its way, or there
        return (
            Held(200) if not _is_over(coding.state_of(waiting)) else _send(request, job, quote, form, device)
        )
    if not form.cleaned_data["code"]:
        return _wrong(form, _("Type the six figures from the letter."))
    return _typed(request, quote, form, device)


def _typed(request: HttpRequest, quote: Quote, form: QuoteForm, device: str) -> Passed | Held:
    figures = form.cleaned_data["code"]
    told = coding.type_code(quote, device, figures, request.actor, request.link)
    match told:
        case coding.Right():
            return Passed(used=True)
        case coding.Wrong(left):
            return _wrong(
                form,
                ngettext(
                    "Those are not the figures in the newest letter. You can try once more.",
                    "Those are not the figures in the newest letter. You can try %(n)s more times.",
                    left,
                )
                % {"n": left},
            )
        case coding.Spent():
            return _wrong(
                form, _("That was the fifth try. Press “Send it again”, and type what the new letter says.")
            )
        case coding.Expired():
            return _wrong(
                form, _("These figures were good for half an hour. Press “Send it again” for new ones.")
            )
        case coding.NotSent():
            return _wrong(
                form, _("The letter is only just leaving. Wait until it is with you, then type its figures.")
            )
        case _:
            assert_never(told)


def _send(request: HttpRequest, job: Job, quote: Quote, form: QuoteForm, device: str) -> Held:
    if not take(f"code:{job.pk}", LETTERS, LETTERS_SECONDS):
        form.add_error(
            "code",
            _("We have sent three such letters within the hour. Look for the newest, or wait a while."),
        )
        return Held(429)
    if not take(f"code-day:{job.pk}", LETTERS_A_DAY, DAY_SECONDS):
        form.add_error(
            "code",
            _(
                "We have sent ten such letters within a day. Look for the newest, or call us: we can note your answer by telephone."
            ),
        )
        return Held(429)
    coding.ask_for_code(quote, device, request.actor)
    form.code_just_sent = True
    return Held(200)


def _wrong(form: QuoteForm, sentence: str) -> Held:
    form.add_error("code", sentence)
    return Held(422)


def _is_over(state: coding.Typed | None) -> bool:
    return isinstance(state, coding.Spent | coding.Expired)
