"""The versions of one explanation: who wrote what and when, what changed, and the way back to the shipped text."""

from django import forms
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_http_methods, require_safe

from jobs import collection
from jobs.actions.explaining import back_to_shipped
from jobs.models import ExplanationVersion
from portal.access import for_staff
from portal.answers import carried_out, go, status
from portal.writing.changes import changes
from portal.writing.editing import about, address, with_key


@require_safe
@for_staff
@with_key
def library_history(request: HttpRequest, key: str) -> HttpResponse:
    """Every version, the newest first."""
    versions = ExplanationVersion.objects.filter(key=key).order_by("-n").defer("text")
    context = {"versions": versions, "used": collection.in_use().filter(key=key).first()}
    return render(request, "writing/history.html", about(key) | context)


@require_safe
@for_staff
@with_key
def library_version(request: HttpRequest, key: str, n: int) -> HttpResponse:
    """One version, and what it changed: against the one before it, or against the shipped text."""
    version = get_object_or_404(ExplanationVersion, key=key, n=n)
    before = ExplanationVersion.objects.filter(key=key, n__lt=n).order_by("-n").first()
    against_shipped = collection.is_shipped(key) and (
        before is None or request.GET.get("against") == "shipped"
    )
    old = collection.shipped_text(key) if against_shipped else before.text if before else ""
    context = {
        "version": version,
        "before": before,
        "against_shipped": against_shipped,
        "changes": changes(old, version.text),
        "used": collection.in_use().filter(key=key).first(),
    }
    return render(request, "writing/version.html", about(key) | context)


class BackForm(forms.Form):
    base = forms.IntegerField(widget=forms.HiddenInput, min_value=0, max_value=10**8)
    note = forms.CharField(label=gettext_lazy("Why"), max_length=400, required=False)


@require_http_methods(["GET", "POST"])
@for_staff
@with_key
def library_back(request: HttpRequest, key: str) -> HttpResponse:
    """Ask whether the shipped text is to be used again, and on a press do it."""
    latest = collection.latest(key)
    form = BackForm(
        request.POST if request.method == "POST" else None, initial={"base": latest.n if latest else 0}
    )
    if form.is_bound and carried_out(
        form,
        lambda: back_to_shipped(
            key,
            form.cleaned_data["base"],
            request.actor,
            form.cleaned_data["note"],
        ),
    ):
        said = (
            _("The shipped text is in use again.") if collection.is_shipped(key) else _("Taken out of use.")
        )
        return go(request, address("library_history", key), said)
    used = collection.in_use().filter(key=key).first()
    return render(
        request, "writing/back.html", about(key) | {"form": form, "used": used}, status=status(form)
    )
