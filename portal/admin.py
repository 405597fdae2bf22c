"""Django's admin for emergencies: at an address that a setting names, for the owner. Evidence can be read there, never changed."""

from typing import Any

from django.contrib import admin
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils.http import urlencode

from jobs import models as trade
from notifications import models as post


def to_our_door(request: HttpRequest, extra_context: dict[str, Any] | None = None) -> HttpResponse:
    """Our own log-in, because that one counts the tries."""
    if request.user.is_authenticated:
        return redirect("office")
    query = urlencode({"next": request.GET.get("next", request.get_full_path())})
    return redirect(f"{reverse('login')}?{query}")


admin.site.login = to_our_door
admin.site.site_header = admin.site.site_title = "Benchletter, for emergencies"


class ReadOnly(admin.ModelAdmin):
    """Shown and never changed: evidence, and what the journal is made of."""

    def has_add_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        return False

    def has_change_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        return False

    def has_delete_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        return False


class Correctable(admin.ModelAdmin):
    """Can be corrected; not added, because rows are written with their journal entry; not deleted, because much hangs on them."""

    def has_add_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        return False

    def has_delete_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        return False


@admin.register(trade.Entry)
class EntryAdmin(ReadOnly):
    list_display = ["job", "seq", "at", "kind", "by_name"]
    list_filter = ["kind"]
    search_fields = ["job__ref"]
    show_full_result_count = False


@admin.register(trade.Job)
class JobAdmin(Correctable):
    list_display = ["ref", "item", "customer", "stage", "holder"]
    list_filter = ["stage", "holder"]
    search_fields = ["ref", "search_text"]
    raw_id_fields = ["customer", "item", "claim_on"]
    # Moves are actions: changed here, they would not be in the journal.
    readonly_fields = ["ref", "stage", "holder", "stage_since", "holder_since", "last_seq"]
    show_full_result_count = False


@admin.register(trade.Customer)
class CustomerAdmin(Correctable):
    list_display = ["name", "email", "telephone"]
    search_fields = ["name", "email"]
    show_full_result_count = False


@admin.register(post.Letter)
class LetterAdmin(ReadOnly):
    list_display = ["job", "kind", "to_address", "state", "attempts", "made_at"]
    list_filter = ["state", "kind"]
    search_fields = ["job__ref", "to_address"]
    show_full_result_count = False


@admin.register(trade.Staff)
class StaffAdmin(Correctable):
    list_display = ["username", "role", "is_active"]
    exclude = ["password", "groups", "user_permissions"]


admin.site.register(
    [trade.Decision, trade.Choice, trade.Wording, trade.Quote, trade.Line, trade.Trace, trade.Warranty],
    ReadOnly,
)
admin.site.register(
    [trade.Item, trade.Photo, trade.PrivateLink, trade.Finding, trade.Question, trade.Workshop], Correctable
)
