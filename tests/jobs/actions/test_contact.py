import pytest

from jobs.actions import contact
from jobs.actions.linking import issue_link
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
