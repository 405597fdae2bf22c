"""An answer to the quote by telephone, noted by us as exactly as one on the page."""

from typing import Any, assert_never

from django import forms
from django.http import HttpRequest, HttpResponse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_http_methods

from jobs import money
from jobs.actions.deciding import Answer, AnsweredBefore, Decided, Lapsed, Outcome, Replaced, decide
from jobs.actions.refusals import Refused
from jobs.evidence import answer_to
from jobs.models import Decision, Job, Line, Quote
from jobs.words import Need
from portal.access import for_staff
from portal.bench.answers import refuse, status
from portal.bench.common import show, to_job, with_job

YES_OR_NO = [("yes", gettext_lazy("Yes")), ("no", gettext_lazy("No"))]


class CallForm(forms.Form):
    """Yes or no to each line that can be and who said so. `shown_hash` is the quote that we read out."""

    shown_hash = forms.CharField(widget=forms.HiddenInput, max_length=64)
    name = forms.CharField(label=gettext_lazy("Who said so"), max_length=120)

    def __init__(self, quote: Quote, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.quote = quote
        self.lines = list(quote.lines.all())
        for line in self.to_choose:
            first = "yes" if line.need == Need.NEEDED else "no"
            self.fields[f"line{line.pk}"] = forms.ChoiceField(
                label=line.title, choices=YES_OR_NO, widget=forms.RadioSelect, initial=first
            )

    @property
    def to_choose(self) -> list[Line]:
        return [line for line in self.lines if not line.is_fixed]

    @property
    def rows(self) -> list[tuple[Line, Any]]:
        return [(line, None if line.is_fixed else self[f"line{line.pk}"]) for line in self.lines]

    def answer(self, noted_by: str) -> Answer:
        said = self.cleaned_data
        yes = {line.pk for line in self.to_choose if said[f"line{line.pk}"] == "yes"}
        return Answer(
            shown_hash=said["shown_hash"],
            yes=yes,
            name=said["name"],
            sentence=sentence(self.quote, yes, said["name"]),
            way=Decision.Way.TELEPHONE,
            noted_by=noted_by,
        )


@require_http_methods(["GET", "POST"])
@for_staff
@with_job
def call(request: HttpRequest, job: Job) -> HttpResponse:
    quote = job.quotes.filter(state__in=[Quote.State.OPEN, Quote.State.LAPSED]).order_by("-n").first()
    if quote is None:
        return to_job(request, job, _("No quote waits for an answer."))
    first = {"shown_hash": quote.shown_hash, "name": job.customer.name}
    form = CallForm(quote, request.POST if request.method == "POST" else None, initial=first)
    if form.is_bound and form.is_valid() and (outcome := _decide(request, quote, form)):
        return to_job(request, job, outcome)
    return show(request, "bench/call.html", job, status(form), form=form, quote=quote)


def sentence(quote: Quote, yes: set[int], name: str) -> str:
    """What was agreed to, in one sentence that stands in the evidence."""
    wanted = [line.title for line in quote.lines.all() if line.pk in yes and not line.is_fixed]
    if not wanted:
        return _("%(name)s said by telephone: no work; it goes back as it is.") % {"name": name}
    total = money.show(answer_to(quote, yes).total.gross, quote.currency)
    words = {"name": name, "lines": "; ".join(wanted), "sum": total}
    return _("%(name)s said yes by telephone to: %(lines)s. Together %(sum)s.") % words


def _decide(request: HttpRequest, quote: Quote, form: CallForm) -> str:
    """What to say at the top of the next page; "" when the form has to say why not."""
    by = request.actor  # type: ignore[attr-defined]
    try:
        outcome = decide(quote, form.answer(by.name), by)
    except Refused as refused:
        refuse(form, refused)
        return ""
    if isinstance(outcome, Decided | AnsweredBefore):
        return _("Noted.") if isinstance(outcome, Decided) else _("This quote has been answered already.")
    form.add_error(None, _why_not(outcome))
    return ""


def _why_not(outcome: Outcome) -> str:
    match outcome:
        case Replaced():
            return _("Another quote stands now. Read that one out.")
        case Lapsed():
            return _("This quote has lapsed. Send it again first, then note the answer.")
        case Decided() | AnsweredBefore():
            raise AssertionError(outcome)
        case _:
            assert_never(outcome)
