"""Testing after the work: content with everything, and it is ready; not content, and it goes back to the bench."""

from typing import Any

from django import forms
from django.forms import BoundField
from django.http import HttpRequest, HttpResponse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_http_methods, require_POST

from jobs.actions.working import Tested, prove, start_proving
from jobs.models import Job, Photo, Proof
from portal.access import for_staff
from portal.answers import carried_out, status
from portal.bench.common import pressed, show, to_job, with_job
from portal.bench.photos import loose
from portal.bench.times import dials

NOT_TRIED = ""
ANSWERS = [
    (NOT_TRIED, gettext_lazy("Not tried")),
    ("yes", gettext_lazy("Content")),
    ("no", gettext_lazy("Not content")),
]


class ProvingForm(forms.Form):
    """For each test: content, not content or not tried, and what we saw."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for test in Proof.Test:
            self.fields[test.value] = forms.ChoiceField(
                label=test.label, choices=ANSWERS, widget=forms.RadioSelect, required=False, initial=NOT_TRIED
            )
            self.fields[f"{test.value}_note"] = forms.CharField(
                label=_("What we saw: %(test)s") % {"test": test.label},
                max_length=300,
                required=False,
                widget=forms.TextInput(attrs={"placeholder": _("What we saw")}),
            )

    @property
    def rows(self) -> list[tuple[BoundField, BoundField]]:
        return [(self[test.value], self[f"{test.value}_note"]) for test in Proof.Test]

    def clean(self) -> None:
        for test in Proof.Test:
            if self.cleaned_data.get(test.value) == "no" and not self.cleaned_data.get(f"{test.value}_note"):
                self.add_error(f"{test.value}_note", _("Say what we saw. The customer reads this."))

    def tests(self) -> list[Tested]:
        said = self.cleaned_data
        tried = [test.value for test in Proof.Test if said[test.value] != NOT_TRIED]
        return [Tested(test, said[test] == "yes", said[f"{test}_note"]) for test in tried]


@require_http_methods(["GET", "POST"])
@for_staff
@with_job
def proving(request: HttpRequest, job: Job) -> HttpResponse:
    form = ProvingForm(request.POST if request.method == "POST" else None)
    if form.is_bound and carried_out(form, lambda: prove(job, form.tests(), request.actor)):
        content = all(test.content for test in form.tests())
        return to_job(request, job, _("Ready.") if content else _("Noted. It is back on the bench."))
    context = {"form": form, "dials": dials(job), "shots": loose(job, Photo.Purpose.RESULT)}
    return show(request, "bench/proving.html", job, status(form), **context)


@require_POST
@for_staff
@with_job
def prove_start(request: HttpRequest, job: Job) -> HttpResponse:
    return pressed(request, job, lambda: start_proving(job, request.actor), _("The testing has begun."))
