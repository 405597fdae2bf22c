"""Who works here: taken on, given a role, let go, given a new password."""

from collections.abc import Callable

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from jobs.actions import house
from jobs.actions.refusals import Refused
from jobs.models import Staff
from portal.access import for_owner
from portal.answers import refuse, see_other
from portal.office.forms import HireForm


@require_http_methods(["GET", "HEAD", "POST"])
@for_owner
def office_staff(request: HttpRequest) -> HttpResponse:
    """Everybody, and a form to take somebody on."""
    if request.method != "POST":
        return _page(request)
    form = HireForm(request.POST)
    if not form.is_valid():
        return _page(request, form)
    try:
        member, password = house.hire(**form.cleaned_data)
    except Refused as refused:
        refuse(form, refused)
        return _page(request, form)
    return _hand_over(request, member, password)


@require_POST
@for_owner
def office_password(request: HttpRequest, pk: int) -> HttpResponse:
    """A new password, shown once. Nobody's own: that is changed with the old one at hand."""
    member = get_object_or_404(Staff, pk=pk)
    if member == request.user:
        return see_other(request, reverse("password"))
    return _hand_over(request, member, house.new_password(member))


@require_POST
@for_owner
def office_role(request: HttpRequest, pk: int) -> HttpResponse:
    member = get_object_or_404(Staff, pk=pk)
    role = request.POST.get("role", "")
    if role not in Staff.Role.values:
        return HttpResponse(status=422)
    return _do(request, lambda: house.give_role(member, role), _("%(name)s has another role now."), member)


@require_POST
@for_owner
def office_access(request: HttpRequest, pk: int) -> HttpResponse:
    """`active` 1 lets them in again, anything else shuts the door from this moment on."""
    member = get_object_or_404(Staff, pk=pk)
    if request.POST.get("active") == "1":
        return _do(request, lambda: house.take_back(member), _("%(name)s can log in again."), member)
    return _do(request, lambda: house.let_go(member), _("%(name)s cannot log in any more."), member)


def _do(request: HttpRequest, act: Callable[[], None], done: str, member: Staff) -> HttpResponse:
    try:
        act()
    except Refused as refused:
        messages.error(request, refused.sentence)
    else:
        messages.success(request, done % {"name": member.called})
    return see_other(request, reverse("office_staff"))


def _hand_over(request: HttpRequest, member: Staff, password: str) -> HttpResponse:
    """The one page that shows a password: no redirect, because then it would have to be stored somewhere until the next page."""
    return render(
        request,
        "office/password.html",
        {"here": "office", "tab": "staff", "member": member, "password": password},
    )


def _page(request: HttpRequest, form: HireForm | None = None) -> HttpResponse:
    told = {
        "here": "office",
        "tab": "staff",
        "members": Staff.objects.order_by("-is_active", "first_name", "pk"),
        "form": form or HireForm(),
    }
    return render(request, "office/staff.html", told, status=422 if form else 200)
