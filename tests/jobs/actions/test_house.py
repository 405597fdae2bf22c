from concurrent.futures import ThreadPoolExecutor

import pytest
from django.db import connection

from jobs.actions import house
from jobs.actions.refusals import Refused
from jobs.models import Staff, Workshop
from tests.cast import Cast, make_cast

HOUSE = {"name": "Tidewater Camera Works", "place": "Saltmere", "address": "1 Slipway"}
OWNER = {"username": "hester", "full_name": "Hester Quill", "email": "", "password": "quiet brass hinge"}


@pytest.fixture
def cast(db: None) -> Cast:
    return make_cast()


@pytest.mark.django_db
def test_a_house_is_opened_with_its_owner() -> None:
    owner = house.open_house(HOUSE, **OWNER)
    assert Workshop.objects.get().name == "Tidewater Camera Works"
    assert (owner.called, owner.is_owner) == ("Hester Quill", True)


@pytest.mark.django_db
def test_a_weak_password_opens_nothing() -> None:
    with pytest.raises(Refused) as refused:
        house.open_house(HOUSE, **OWNER | {"password": "short"})
    assert refused.value.field == "password"
    assert not Workshop.objects.exists()


def test_a_house_is_opened_once(cast: Cast) -> None:
    with pytest.raises(Refused):
        house.open_house(HOUSE, **OWNER)
    assert Staff.objects.count() == 2


@pytest.mark.django_db(transaction=True)
def test_of_two_who_open_it_at_once_one_becomes_the_owner() -> None:
    def open_it(n: int) -> bool:
        try:
            house.open_house(HOUSE, **OWNER | {"username": f"owner{n}"})
        except Refused:
            return False
        finally:
            connection.close()
        return True

    with ThreadPoolExecutor(4) as threads:
        opened = sum(threads.map(open_it, range(4)))
    assert (opened, Workshop.objects.count(), Staff.objects.count()) == (1, 1, 1)


@pytest.mark.django_db(transaction=True)
def test_two_owners_who_show_each_other_out_at_once_do_not_both_succeed() -> None:
    owners = [
        Staff.objects.create_user(name, "", "a-long-password-1", role=Staff.Role.OWNER)
        for name in ("hester", "wren")
    ]

    def show_out(owner: Staff) -> None:
        try:
            house.let_go(owner)
        except Refused:
            pass
        finally:
            connection.close()

    with ThreadPoolExecutor(2) as threads:
        list(threads.map(show_out, owners))
    assert Staff.objects.filter(is_active=True, role=Staff.Role.OWNER).count() == 1


def test_two_people_do_not_share_a_name_to_log_in_with(cast: Cast) -> None:
    with pytest.raises(Refused) as refused:
        house.hire(username="jory", full_name="Jory Other", email="", role="technician")
    assert refused.value.field == "username"


def test_a_drawn_password_is_long_and_has_no_signs_that_look_alike() -> None:
    drawn = {house.draw_password() for _ in range(50)}
    assert len(drawn) == 50
    assert all(len(each.replace("-", "")) == 16 for each in drawn)
    assert not set("".join(drawn)) & set("lo01IO")
