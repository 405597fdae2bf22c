import pytest
from django.contrib import admin
from django.test import RequestFactory

from jobs.models import Choice, Decision, Entry, Job, Wording
from tests.cast import Cast

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize("evidence", [Entry, Decision, Choice, Wording])
def test_evidence_can_be_read_in_the_admin_and_never_changed(cast: Cast, evidence: type) -> None:
    request = RequestFactory().get("/")
    cast.owner_user.is_superuser = cast.owner_user.is_staff = True
    request.user = cast.owner_user
    page = admin.site.get_model_admin(evidence)
    assert page.has_view_permission(request)
    assert not page.has_add_permission(request)
    assert not page.has_change_permission(request)
    assert not page.has_delete_permission(request)


def test_a_jobs_stage_is_not_changed_behind_the_journals_back(cast: Cast) -> None:
    page = admin.site.get_model_admin(Job)
    assert {"stage", "holder", "last_seq"} <= set(page.readonly_fields)


def test_there_is_no_admin_unless_a_setting_opens_it(client: object) -> None:
    from django.urls import NoReverseMatch, reverse

    with pytest.raises(NoReverseMatch):
        reverse("admin:index")
