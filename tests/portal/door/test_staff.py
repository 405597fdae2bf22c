import pytest
from django.test import Client

from tests.cast import Cast
from tests.portal.conftest import Visitor

pytestmark = pytest.mark.django_db

RIGHT = {"username": "hester", "password": "a-long-password-1"}
WRONG = {"username": "hester", "password": "a-wrong-password"}


def test_the_right_password_opens_the_bench(cast: Cast, nobody: Client) -> None:
    answer = nobody.post("/staff/", RIGHT)
    assert (answer.status_code, answer["Location"]) == (303, "/bench/")
    assert nobody.get("/office/").status_code == 200


def test_whoever_wanted_a_page_gets_it_after_the_log_in(cast: Cast, nobody: Client) -> None:
    asked = nobody.get("/office/letters/")
    assert nobody.post(asked["Location"], RIGHT)["Location"] == "/office/letters/"


@pytest.mark.parametrize("elsewhere", ["https://evil.example/", "//evil.example/", "javascript:alert(1)"])
def test_the_log_in_leads_to_no_other_site(cast: Cast, nobody: Client, elsewhere: str) -> None:
    assert nobody.post("/staff/", {**RIGHT, "next": elsewhere})["Location"] == "/bench/"


def test_a_wrong_password_and_an_unknown_name_get_the_same_words(cast: Cast) -> None:
    wrong, unknown = (
        Client().post("/staff/", WRONG),
        Client().post("/staff/", {**WRONG, "username": "nobody"}),
    )
    assert wrong.status_code == unknown.status_code == 422
    sentence = "That name and password do not go together."
    assert sentence in wrong.content.decode()
    assert sentence in unknown.content.decode()


def test_after_eight_tries_the_door_stays_shut_for_a_while_even_for_the_right_password(
    cast: Cast, nobody: Client
) -> None:
    for _ in range(8):
        assert nobody.post("/staff/", WRONG).status_code == 422
    answer = nobody.post("/staff/", RIGHT)
    assert answer.status_code == 429
    assert "Wait a quarter of an hour" in answer.content.decode()


def test_guessing_from_one_place_does_not_lock_the_owner_out_at_another(cast: Cast) -> None:
    for _ in range(9):
        Client(REMOTE_ADDR="192.0.2.66").post("/staff/", WRONG)
    assert Client(REMOTE_ADDR="192.0.2.7").post("/staff/", RIGHT).status_code == 303


def test_one_place_cannot_go_through_all_the_names(cast: Cast, nobody: Client) -> None:
    codes = [nobody.post("/staff/", {**WRONG, "username": f"name{n}"}).status_code for n in range(31)]
    assert codes[-1] == 429


def test_logging_in_takes_a_new_session_key(cast: Cast, nobody: Client) -> None:
    planted = nobody.session
    planted["by"] = "somebody else"
    planted.save()
    nobody.post("/staff/", RIGHT)
    assert nobody.session.session_key != planted.session_key


def test_whoever_was_let_go_is_out_at_once(cast: Cast, as_staff: Visitor) -> None:
    from jobs.actions.house import let_go

    technician = as_staff(cast.technician_user)
    assert technician.get("/bench/").status_code == 200
    let_go(cast.technician_user)
    assert technician.get("/bench/").status_code == 302


def test_logging_out_ends_the_session(cast: Cast, as_staff: Visitor) -> None:
    owner = as_staff(cast.owner_user)
    key = owner.session.session_key
    owner.post("/staff/out/")
    owner.cookies["sessionid"] = key
    assert owner.get("/bench/").status_code == 302


def test_a_link_cannot_log_anybody_out(cast: Cast, as_staff: Visitor) -> None:
    owner = as_staff(cast.owner_user)
    assert owner.get("/staff/out/").status_code == 405
    assert owner.get("/bench/").status_code == 200


def test_htmx_is_sent_to_the_log_in_as_a_whole_page(cast: Cast, nobody: Client) -> None:
    answer = nobody.get("/bench/", headers={"HX-Request": "true"})
    assert answer["HX-Redirect"] == "/staff/"


def test_htmx_goes_on_after_the_log_in(cast: Cast, nobody: Client) -> None:
    answer = nobody.post("/staff/", RIGHT, headers={"HX-Request": "true"})
    assert answer["HX-Redirect"] == "/bench/"


NEW = {
    "old_password": "a-long-password-1",
    "new_password1": "quiet brass hinge",
    "new_password2": "quiet brass hinge",
}


def test_a_new_password_ends_the_sessions_on_other_devices(cast: Cast, as_staff: Visitor) -> None:
    here, there = as_staff(cast.owner_user), as_staff(cast.owner_user)
    assert here.post("/staff/password/", NEW).status_code == 303
    assert here.get("/bench/").status_code == 200
    assert there.get("/bench/").status_code == 302


@pytest.mark.parametrize(
    "slip",
    [
        {"old_password": "not it at all"},
        {"new_password2": "something else here"},
        {"new_password1": "short", "new_password2": "short"},
    ],
)
def test_a_new_password_needs_the_old_one_and_some_length(
    cast: Cast, as_staff: Visitor, slip: dict[str, str]
) -> None:
    here = as_staff(cast.owner_user)
    assert here.post("/staff/password/", NEW | slip).status_code == 422
    cast.owner_user.refresh_from_db()
    assert cast.owner_user.check_password("a-long-password-1")


def test_before_the_first_run_the_door_leads_there(nobody: Client) -> None:
    assert nobody.get("/staff/")["Location"] == "/first-run/"
