"""The editor: a shipped explanation or a version of our own in fields; kept as a draft, looked at, put in use."""

from collections.abc import Callable
from functools import wraps
from tomllib import TOMLDecodeError
from typing import Any

from django import forms
from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_http_methods

from jobs import collection
from jobs.actions.explaining import SavedInBetween, begin, put_in_use, save_draft
from jobs.actions.refusals import Refused
from jobs.actor import Actor
from jobs.library import Explanation, LibraryError, Shown, load, write
from jobs.models import ExplanationVersion
from jobs.words import Mechanism
from portal.access import View, for_staff
from portal.answers import carried_out, see_other, status
from portal.writing import sheet as sheets
from portal.writing.judging import judge
from portal.writing.sheet import Sheet
from portal.writing.typed import said

State = ExplanationVersion.State


def with_key(view: View) -> View:
    """Calls `view(request, key, ...)` for an explanation that the house ships or the workshop has begun."""

    @wraps(view)
    def found(request: HttpRequest, mechanism: str, slug: str, *args: Any, **kwargs: Any) -> HttpResponse:
        key = f"{mechanism}/{slug}"
        if not collection.is_shipped(key) and collection.latest(key) is None:
            raise Http404
        return view(request, key, *args, **kwargs)

    return found


def address(name: str, key: str, *more: int) -> str:
    """The address of a page about one explanation."""
    return reverse(name, args=[*key.split("/"), *more])


def about(key: str) -> dict[str, Any]:
    """What every page about one explanation is told."""
    mechanism, slug = key.split("/")
    return {
        "here": "library",
        "key": key,
        "mechanism": mechanism,
        "slug": slug,
        "shelf": Mechanism(mechanism).label,
        "is_shipped": collection.is_shipped(key),
        "entry": collection.entries().get(key),
    }


class NewForm(forms.Form):
    mechanism = forms.ChoiceField(
        label=gettext_lazy("Which part of the camera"),
        choices=[("", gettext_lazy("Choose")), *Mechanism.choices],
    )
    title = forms.CharField(
        label=gettext_lazy("Title"), help_text=gettext_lazy("As a customer would ask it."), max_length=90
    )


@require_http_methods(["GET", "POST"])
@for_staff
def library_new(request: HttpRequest) -> HttpResponse:
    """Begin an explanation that the house does not ship."""
    form = NewForm(request.POST if request.method == "POST" else None)
    begun: list[str] = []
    if form.is_bound and carried_out(
        form, lambda: begun.append(begin(**form.cleaned_data, by=_who(request)))
    ):
        return see_other(request, address("library_edit", begun[0]))
    return render(request, "writing/new.html", {"form": form, "here": "library"}, status=status(form))


@require_http_methods(["GET", "POST"])
@for_staff
@with_key
def library_edit(request: HttpRequest, key: str) -> HttpResponse:
    """Write our own version of an explanation."""
    if request.method == "GET":
        return _open(request, key)
    sheet, wanted = sheets.sent(key, request.POST), request.POST.get("do", "draft")
    if wanted == "rows":
        return _page(request, sheets.again(sheet), moved=True)
    if wanted == "preview":
        judge(sheet)
        return _page(request, sheet, 422 if sheet.wrong else 200, preview=_entry(sheet), looked=True)
    if wanted == "use":
        return _use(request, sheet)
    return _keep(request, sheet)


def _entry(sheet: Sheet) -> tuple[Explanation, Shown] | None:
    """The entry, and what a customer reads of it with the examples; None where it cannot be read or filled yet."""
    try:
        entry = load.from_text(sheet.key, sheet.text())
        collection.try_out(entry)
    except (ValueError, KeyError):
        return None
    return entry, entry.sample()


def _open(request: HttpRequest, key: str) -> HttpResponse:
    latest = collection.latest(key)
    base = latest.n if latest else 0
    text = _text_to_write_on(request, key, latest)
    try:
        sheet = sheets.stored(key, base, text)
    except (LibraryError, TOMLDecodeError):
        messages.error(request, _("That version cannot be read any more. These are empty fields."))
        sheet = sheets.laid_out(key, base, {}, {})
    if "checked" in request.GET:
        judge(sheet)
    return _page(request, sheet)


def _text_to_write_on(request: HttpRequest, key: str, latest: ExplanationVersion | None) -> str:
    """The version that the address names; else the newest; else the shipped text."""
    asked = request.GET.get("version", "")
    if asked.isascii() and asked.isdigit() and len(asked) < 9:
        latest = ExplanationVersion.objects.filter(key=key, n=int(asked)).first() or latest
    if latest is None or latest.state == State.SHIPPED:
        return collection.shipped_text(key) or (latest.text if latest else "") or write.to_text({}, {})
    return latest.text


def _keep(request: HttpRequest, sheet: Sheet) -> HttpResponse:
    if not said(sheet.form, "title"):
        sheet.form.add_error("title", _("Give it a title. The list of drafts shows it."))
        return _page(request, sheet, 422)

    def save() -> ExplanationVersion:
        return save_draft(sheet.key, sheet.text(), sheet.base, _who(request), said(sheet.form, "note"))

    if answer := _refused(request, sheet, save):
        return answer
    messages.success(request, _("Kept as a draft. The library goes on as it was."))
    ready = judge(sheet)
    return see_other(request, address("library_edit", sheet.key) + ("" if ready else "?checked"))


def _use(request: HttpRequest, sheet: Sheet) -> HttpResponse:
    if not judge(sheet):
        return _page(request, sheet, 422)

    def use() -> ExplanationVersion:
        return put_in_use(sheet.key, sheet.text(), sheet.base, _who(request), said(sheet.form, "note"))

    if answer := _refused(request, sheet, use):
        return answer
    messages.success(request, _("In use from now on. Whoever was shown the text before keeps it."))
    return see_other(request, address("library_entry", sheet.key))


def _refused(request: HttpRequest, sheet: Sheet, action: Callable[[], object]) -> HttpResponse | None:
    """Carry it out; the page with the reason when it was refused. After somebody else's save, the next press builds on theirs."""
    try:
        action()
    except SavedInBetween as between:
        sheet.general.append(between.sentence)
        sheet.base = between.newest.n if between.newest else 0
        return _page(request, sheet, 409, between=between.newest)
    except Refused as no:
        sheet.general.append(no.sentence)
        return _page(request, sheet, 422)
    return None


def _page(request: HttpRequest, sheet: Sheet, code: int = 200, **context: Any) -> HttpResponse:
    """The whole editor, or for htmx its form."""
    template = "writing/edit.html#sheet" if request.headers.get("HX-Request") else "writing/edit.html"
    latest = collection.latest(sheet.key)
    return render(
        request, template, {**about(sheet.key), "sheet": sheet, "latest": latest, **context}, status=code
    )


def _who(request: HttpRequest) -> Actor:
    actor: Actor = request.actor
    return actor
