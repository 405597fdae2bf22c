"""The parcel is here: what came, in what condition, with photographs. Then the examination begins."""

from django import forms
from django.forms import BoundField
from django.http import HttpRequest, HttpResponse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_http_methods, require_POST

from jobs.actions.arriving import Parcel, receive, start_examination
from jobs.models import Arrival, Job, Photo
from jobs.words import Stage
from portal.access import for_staff
from portal.answers import carried_out, status
from portal.bench.common import if_told, pressed, show, to_job, with_job
from portal.bench.fields import WholeField
from portal.bench.photos import loose, take_sent

MOST_LOOSE_PARTS = 500


class ArrivalForm(forms.Form):
    """What is ticked is there. Loose parts are counted, so that as many go home."""

    body = forms.BooleanField(label=gettext_lazy("The camera body"), required=False, initial=True)
    lens = forms.BooleanField(label=gettext_lazy("A lens"), required=False)
    caps = forms.BooleanField(label=gettext_lazy("Caps"), required=False)
    case = forms.BooleanField(label=gettext_lazy("A case or strap"), required=False)
    loose_parts = WholeField(
        label=gettext_lazy("Loose parts, how many"),
        most=MOST_LOOSE_PARTS,
        required=False,
        initial=0,
    )
    condition = forms.CharField(
        label=gettext_lazy("Condition, as it came out of the parcel"),
        help_text=gettext_lazy("The customer reads this: dents, scratches, what moves and what does not."),
        max_length=1000,
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
    )

    @property
    def ticks(self) -> list[BoundField]:
        return [self[name] for name in ("body", "lens", "caps", "case")]

    def parcel(self) -> Parcel:
        said = self.cleaned_data
        return Parcel(**{**said, "loose_parts": said["loose_parts"] or 0})


@require_http_methods(["GET", "POST"])
@for_staff
@with_job
def arrival(request: HttpRequest, job: Job) -> HttpResponse:
    sent = request.method == "POST"
    form = ArrivalForm(request.POST if sent else None)
    # Photographs are kept whatever else is wrong with the form.
    _new, refused = take_sent(request, job, Photo.Purpose.ARRIVAL) if sent else ([], [])
    if sent and carried_out(form, lambda: receive(job, form.parcel(), request.actor)):
        noted = if_told(job, _("Noted. %(called)s gets a letter that it is here."))
        return to_job(request, job, " ".join([noted, *refused]))
    photos = loose(job, Photo.Purpose.ARRIVAL)
    came = None if job.stage == Stage.EXPECTED else Arrival.objects.filter(job=job).first()
    return show(
        request,
        "bench/arrival.html",
        job,
        status=status(form),
        form=form,
        shots=photos,
        refused=refused,
        came=came,
    )


@require_POST
@for_staff
@with_job
def examine(request: HttpRequest, job: Job) -> HttpResponse:
    return pressed(
        request, job, lambda: start_examination(job, request.actor), _("The examination has begun.")
    )
