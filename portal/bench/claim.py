"""A claim is decided: what it is about, whether the same failed again, and whether it is covered."""

from dataclasses import dataclass
from typing import Any

from django import forms
from django.http import HttpRequest, HttpResponse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_http_methods

from jobs.actions.judging import MOST_WORDS, judge_claim
from jobs.models import Cover, Job, Judged
from jobs.words import Certainty, FailedAgain, Judgement, Stage
from portal.access import for_staff
from portal.answers import carried_out, status
from portal.bench import steps
from portal.bench.common import show, to_job, with_job
from portal.templatetags.look import day_filter

NONE = "none"


class ClaimForm(forms.Form):
    use_required_attribute = False

    again = forms.ChoiceField(
        label=gettext_lazy("Is it the same again?"),
        choices=FailedAgain.choices,
        widget=forms.RadioSelect,
        error_messages={"required": gettext_lazy("Choose one. For ourselves: it is how we count comebacks.")},
    )
    cover = forms.ChoiceField(
        label=gettext_lazy("Which part of the warranty is it about?"),
        widget=forms.RadioSelect,
        error_messages={
            "required": gettext_lazy("Choose one, or “None of these”."),
            "invalid_choice": gettext_lazy("That is no part of the warranty that this claim is on."),
        },
    )
    judgement = forms.ChoiceField(
        label=gettext_lazy("What do you decide?"),
        choices=Judgement.choices,
        widget=forms.RadioSelect,
        error_messages={"required": gettext_lazy("Choose what you decide.")},
    )
    because = forms.CharField(
        label=gettext_lazy("Why, in a sentence or two"),
        help_text=gettext_lazy(
            "The customer reads it. Not needed where it is covered and there is nothing to add."
        ),
        max_length=MOST_WORDS,
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
        error_messages={
            "max_length": gettext_lazy("That is too long: %(limit_value)s letters are the most.")
        },
    )

    def __init__(self, covers: list[Cover], *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.covers = {str(cover.pk): cover for cover in covers}
        named = [(key, _named(cover)) for key, cover in self.covers.items()]
        self.fields["cover"].choices = [*named, (NONE, _("None of these"))]

    def said(self) -> dict[str, Any]:
        """What `judge_claim` takes."""
        return self.cleaned_data | {"cover": self.covers.get(self.cleaned_data["cover"])}


@require_http_methods(["GET", "POST"])
@for_staff
@with_job
def claim(request: HttpRequest, job: Job) -> HttpResponse:
    """Covered or goodwill puts it on the bench at no charge; not covered leaves it here, for a quote."""
    covers = _covers(job)
    form = ClaimForm(
        covers, request.POST if request.method == "POST" else None, initial=vars(suggestion(job, covers))
    )
    if form.is_bound and carried_out(form, lambda: judge_claim(job, by=request.actor, **form.said())):
        return to_job(request, job, _said(job, Judgement(form.cleaned_data["judgement"])))
    shown = {
        "form": form,
        "judged": Judged.objects.filter(job=job).select_related("cover").first(),
        "may_judge": job.stage == Stage.EXAMINING and steps.is_to_be_judged(job),
        "found": job.findings.standing().worst_first(),
    }
    return show(request, "bench/claim.html", job, status(form), **shown)


@dataclass(frozen=True)
class Suggestion:
    """What is chosen beforehand in the form; None where the findings say nothing. Whoever judges can choose otherwise."""

    again: str | None = None
    cover: str | None = None
    judgement: str | None = None


def suggestion(job: Job, covers: list[Cover]) -> Suggestion:
    """From the mechanisms that the claim's findings name against those of the covers. Not covered is never chosen beforehand."""
    standing = list(job.findings.standing().values_list("mechanism", "certainty"))
    found = {mechanism for mechanism, certainty in standing if certainty != Certainty.RULED_OUT}
    if not found:
        return Suggestion(again=FailedAgain.NOTHING) if standing else Suggestion()
    about = [cover for cover in covers if cover.mechanism in found]
    if not about:
        return Suggestion(again=FailedAgain.OTHER, cover=NONE)
    # What they thought comes first, then what ran when they called on it.
    first = min(about, key=lambda each: (each.pk != job.claim_cover_id, not _ran(each, job), each.pk))
    return Suggestion(
        again=FailedAgain.SAME if first.until else FailedAgain.OTHER,
        cover=str(first.pk),
        judgement=Judgement.COVERED if _ran(first, job) else None,
    )


def _covers(job: Job) -> list[Cover]:
    return list(Cover.objects.filter(warranty__job=job.claim_on_id)) if job.claim_on_id else []


def _ran(cover: Cover, job: Job) -> bool:
    """Whether it ran on the day on which the claim was opened."""
    return bool(cover.until and cover.until >= timezone.localdate(job.created_at))


def _named(cover: Cover) -> str:
    if cover.until is None:
        return _("%(what)s: named as not covered") % {"what": cover.what}
    until = cover.as_it_stands().until
    words = (
        _("%(what)s: until %(day)s")
        if until and until >= timezone.localdate()
        else _("%(what)s: ended %(day)s")
    )
    return words % {"what": cover.what, "day": day_filter(until)}


def _said(job: Job, judgement: Judgement) -> str:
    if judgement == Judgement.NOT_COVERED:
        return _("Decided. %(called)s gets a letter that says why. Now the quote can be written.") % {
            "called": job.customer.called
        }
    return _("Agreed, at no charge.")
