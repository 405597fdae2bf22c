import re

import pytest
from django.test import Client

from jobs.models import Staff
from tests.cast import Cast
from tests.portal.conftest import Visitor

pytestmark = pytest.mark.django_db

NEW = {"full_name": "Wren Ashdown", "username": "wren", "email": "", "role": "technician"}


@pytest.fixture
def owner(cast: Cast, as_staff: Visitor) -> Client:
    return as_staff(cast.owner_user)


def password_on(page: str) -> str:
    found = re.search(r"<code>([^<]+)</code>", page)
    assert found
    return found[1]


def test_whoever_is_taken_on_can_log_in_with_the_password_shown(owner: Client, nobody: Client) -> None:
    page = owner.post("/office/staff/", NEW).content.decode()
    assert nobody.post("/staff/", {"username": "wren", "password": password_on(page)}).status_code == 303
    assert not Staff.objects.get(username="wren").is_superuser


def test_a_password_is_shown_once_and_kept_nowhere(owner: Client) -> None:
    secret = password_on(owner.post("/office/staff/", NEW).content.decode())
    assert secret not in owner.get("/office/staff/").content.decode()
    assert secret not in str(dict(owner.session))
    assert secret not in Staff.objects.get(username="wren").password


@pytest.mark.parametrize(
    ("slip", "sentence"),
    [
        ({"username": "hester"}, "Somebody logs in with this name already."),
        ({"username": "two words"}, "Letters, figures and hyphens only."),
        ({"full_name": ""}, "Customers read this name under answers."),
    ],
)
def test_a_slip_takes_nobody_on(owner: Client, slip: dict[str, str], sentence: str) -> None:
    answer = owner.post("/office/staff/", NEW | slip)
    assert answer.status_code == 422
    assert sentence in answer.content.decode()
    assert Staff.objects.count() == 2


def test_a_new_password_ends_the_sessions_of_its_owner(cast: Cast, owner: Client, as_staff: Visitor) -> None:
    technician = as_staff(cast.technician_user)
    page = owner.post(f"/office/staff/{cast.technician_user.pk}/password/").content.decode()
    cast.technician_user.refresh_from_db()
    assert cast.technician_user.check_password(password_on(page))
    assert technician.get("/bench/").status_code == 302


def test_a_technician_becomes_an_owner_and_back(cast: Cast, owner: Client) -> None:
    for role in ("owner", "technician"):
        owner.post(f"/office/staff/{cast.technician_user.pk}/role/", {"role": role})
        cast.technician_user.refresh_from_db()
        assert (cast.technician_user.role, cast.technician_user.is_superuser) == (role, role == "owner")


@pytest.mark.parametrize(("path", "told"), [("role", {"role": "technician"}), ("access", {})])
def test_the_last_owner_stays(cast: Cast, owner: Client, path: str, told: dict[str, str]) -> None:
    page = owner.post(f"/office/staff/{cast.owner_user.pk}/{path}/", told, follow=True).content.decode()
    cast.owner_user.refresh_from_db()
    assert "This is the only owner." in page
    assert cast.owner_user.is_owner
    assert cast.owner_user.is_active


def test_the_door_is_shut_and_opened_again(cast: Cast, owner: Client) -> None:
    path = f"/office/staff/{cast.technician_user.pk}/access/"
    for told, active in (({}, False), ({"active": "1"}, True)):
        owner.post(path, told)
        cast.technician_user.refresh_from_db()
        assert cast.technician_user.is_active == active


def test_nobody_takes_a_role_that_there_is_not(cast: Cast, owner: Client) -> None:
    assert (
        owner.post(f"/office/staff/{cast.technician_user.pk}/role/", {"role": "emperor"}).status_code == 422
    )
