import pytest

from jobs.actions import contact
from jobs.actions.linking import issue_link
from jobs.actions.refusals import Refused
from jobs.models import Kind, PrivateLink
from tests.cast import Cast, make_cast

pytestmark = pytest.mark.django_db


@pytest.fixture
def cast() -> Cast:
    return make_cast()


def test_a_customer_changes_telephone_and_postal_address_alone(cast: Cast) -> None:
    customer = cast.book().customer
    contact.change_contact(customer, telephone="01632 960111", address="4 Quay Lane")
    customer.refresh_from_db()
    assert (customer.telephone, customer.address, customer.email) == (
        "01632 960111",
        "4 Quay Lane",
        "orla@example.org",
    )


def test_letters_that_nobody_has_to_act_on_can_be_left_out(cast: Cast) -> None:
    customer = cast.book().customer
    contact.want_progress(customer, False)
    customer.refresh_from_db()
    assert not customer.wants_progress


def test_with_another_address_the_old_links_die_and_open_jobs_get_new_ones(cast: Cast) -> None:
    open_job, home = cast.book(), cast.home()
    for job in (open_job, home):
        issue_link(job)
    contact.correct_email(open_job.customer, "new@example.org", cast.owner)
    assert not PrivateLink.objects.live().exists()
    assert open_job.entries.filter(kind=Kind.LINK_ASKED).count() == 1
    assert not home.entries.filter(kind=Kind.LINK_ASKED).exists()


def test_the_same_address_changes_nothing(cast: Cast) -> None:
    job = cast.book()
    issue_link(job)
    contact.correct_email(job.customer, "orla@example.org", cast.owner)
    assert PrivateLink.objects.live().exists()


def test_nobody_elses_links_die(cast: Cast) -> None:
    job, other = cast.book(), cast.another_book()
    issue_link(other)
    contact.correct_email(job.customer, "new@example.org", cast.owner)
    assert PrivateLink.objects.live().filter(job=other).exists()


def test_text_messages_go_to_a_number_of_theirs(cast: Cast) -> None:
    customer = cast.book().customer
    contact.want_texts(customer, "+441632960142", True)
    customer.refresh_from_db()
    assert (customer.text_to, customer.wants_texts) == ("+441632960142", True)


def test_a_number_may_be_kept_while_no_texts_are_wanted(cast: Cast) -> None:
    customer = cast.book().customer
    contact.want_texts(customer, "+441632960142", False)
    customer.refresh_from_db()
    assert (customer.text_to, customer.wants_texts) == ("+441632960142", False)


def test_texts_without_a_number_are_refused(cast: Cast) -> None:
    with pytest.raises(Refused) as refused:
        contact.want_texts(cast.book().customer, "", True)
    assert refused.value.field == "text_to"


def test_where_they_are_is_kept_and_can_be_taken_back(cast: Cast) -> None:
    customer = cast.book().customer
    for zone, place in (("Europe/Berlin", "DE-BY"), ("", "")):
        contact.say_where(customer, time_zone=zone, holidays_in=place)
        customer.refresh_from_db()
        assert (customer.time_zone, customer.holidays_in) == (zone, place)


@pytest.mark.parametrize(("zone", "place"), [("Europe/Saltmere", ""), ("", "XX"), ("", "GB-XX")])
def test_a_place_that_nobody_knows_is_refused(cast: Cast, zone: str, place: str) -> None:
    with pytest.raises(Refused):
        contact.say_where(cast.book().customer, time_zone=zone, holidays_in=place)
