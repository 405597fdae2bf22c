from uuid import uuid4

from jobs.actions.booking import Looked
from jobs.actions.photo import add_photo
from jobs.models import Customer, Kind, Photo
from jobs.words import Holder, LookedAnswer, Stage
from tests.cast import Cast


def test_a_booking_makes_an_expected_job_that_waits_for_the_customer(cast: Cast) -> None:
    job = cast.book()
    assert (job.stage, job.holder) == (Stage.EXPECTED, Holder.CUSTOMER)


def test_the_journal_begins_with_the_story(cast: Cast) -> None:
    job = cast.book()
    entry = job.entries.get()
    assert (entry.kind, entry.data["story"]) == (Kind.BOOKED, job.story)


def test_who_comes_again_is_not_made_twice(cast: Cast) -> None:
    first, second = cast.book(), cast.book(email="ORLA@example.org")
    assert first.customer == second.customer


def test_two_people_may_share_an_address(cast: Cast) -> None:
    cast.book()
    cast.book(name="Lubin Fennimore")
    assert Customer.objects.count() == 2


def test_a_booking_changes_nothing_about_somebody_we_know(cast: Cast) -> None:
    """Anybody can type a name and an address; only a private link lets its customer change them."""
    first = cast.book()
    second = cast.book(telephone="01632 960199")
    first.customer.refresh_from_db()
    assert first.customer.telephone == "01632 960142"
    assert second.customer.telephone == "01632 960199"


def test_photographs_in_the_basket_become_the_jobs_own(cast: Cast) -> None:
    basket = uuid4()
    add_photo("incoming/a", Photo.Purpose.STORY, basket=basket, by_kind="customer")
    job = cast.book(basket=basket)
    assert job.photos.count() == 1
    assert job.entries.get().data["photos"] == 1


def test_what_was_looked_at_before_posting_stays_with_the_job_and_its_journal(cast: Cast) -> None:
    looked = [
        Looked("handling/cap-strap-or-finger", "Is the cap on the lens?", LookedAnswer.SAME),
        Looked("counter/still-without-film", "Is there film in it?", LookedAnswer.NOT_TRIED),
    ]
    job = cast.book(looked_at=looked)
    job.refresh_from_db()
    assert [(each["asked"], each["answer"]) for each in job.looked_at] == [
        ("Is the cap on the lens?", "same"),
        ("Is there film in it?", "not_tried"),
    ]
    assert job.entries.get().data["looked_at"] == job.looked_at
