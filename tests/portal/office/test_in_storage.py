"""What nobody collects: the day from which the workshop's own storage terms count, where the office and the bench see it."""

from datetime import date, timedelta

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.utils import timezone
from django.utils.formats import date_format

from jobs.models import Entry, Job, Workshop
from notifications.chasing import keeping
from notifications.models import Letter, Nudge, Owing
from portal.storage import Storage, storage_of_job
from tests.cast import Cast
from tests.portal.conftest import Visitor
from tests.portal.office.test_owed import owing, read, refs_on, table, words

pytestmark = pytest.mark.django_db
LAW = "Check your local law before you charge, sell or dispose of anything."
DAY = timedelta(days=1)


@pytest.fixture
def owner(cast: Cast, as_staff: Visitor) -> Client:
    return as_staff(cast.owner_user)


@pytest.fixture
def terms(cast: Cast) -> None:
    Workshop.objects.update(storage_words="After that we ask £1 a week.", storage_days=30)


def waiting(cast: Cast, free_until: int, **more: str) -> Job:
    """A job that waits to be collected, kept for nothing until so many days from today."""
    job = cast.book(**more)
    owing(job, "collection", last_day=timezone.localdate() + free_until * DAY)
    return job


def short(day: date) -> str:
    return date_format(day, "j M")


def test_the_day_follows_from_the_days_that_the_workshop_set(cast: Cast, terms: None) -> None:
    job = cast.job_at("ready", return_by="collect")
    keeping.refresh(job)
    stored = storage_of_job(job)
    assert stored is not None
    assert stored.starts == timezone.localdate(stored.since) + 31 * DAY
    assert not stored.counts


def test_what_goes_by_post_is_never_in_storage(cast: Cast, terms: None) -> None:
    job = cast.job_at("ready")
    keeping.refresh(job)
    assert storage_of_job(job) is None


@pytest.mark.parametrize(("starts", "counts"), [(-1, True), (0, True), (1, False)])
def test_the_terms_count_from_their_first_day_on(starts: int, counts: bool) -> None:
    assert Storage(timezone.now(), timezone.localdate() + starts * DAY).counts is counts


def test_the_list_says_from_which_day(cast: Cast, owner: Client, terms: None) -> None:
    waiting(cast, free_until=4)
    page = read(owner)
    assert f"storage from {short(timezone.localdate() + 5 * DAY)}" in page
    assert LAW not in page


def test_on_the_last_free_day_it_is_still_kept_for_nothing(cast: Cast, owner: Client, terms: None) -> None:
    waiting(cast, free_until=0)
    assert "in storage since" not in read(owner)


def test_past_it_the_list_says_so_and_reminds_of_the_law(cast: Cast, owner: Client, terms: None) -> None:
    waiting(cast, free_until=-1)
    page = read(owner)
    assert f"in storage since {short(timezone.localdate())}" in page
    assert "One is in storage by your own terms." in page
    assert LAW in page


def test_what_is_in_storage_can_be_shown_alone(cast: Cast, owner: Client, terms: None) -> None:
    stored = [waiting(cast, free_until=-n) for n in (1, 40)]
    waiting(cast, free_until=3)
    owing(cast.book(), "quote", last_day=timezone.localdate() - DAY)
    found = refs_on(read(owner, "?state=stored"))
    assert sorted(found) == sorted(job.shown_ref for job in stored)
    assert len(table(owner, "?state=stored")) == 1 + 2


def test_the_filter_is_offered(cast: Cast, owner: Client, terms: None) -> None:
    waiting(cast, free_until=3)
    assert 'href="/office/owed/?state=stored"' in owner.get("/office/owed/").text
    assert "None of this kind." in read(owner, "?state=stored")


def test_without_terms_in_words_nothing_is_said_of_it(cast: Cast, owner: Client) -> None:
    job = cast.job_at("ready", return_by="collect")
    keeping.refresh(job)
    Owing.objects.update(last_day=timezone.localdate() - DAY)
    assert "storage" not in read(owner)
    assert owner.get("/office/owed/?state=stored").status_code == 404
    assert storage_of_job(job) is None


def test_the_file_names_the_day(cast: Cast, owner: Client, terms: None) -> None:
    waiting(cast, free_until=-1)
    owing(cast.book(), "quote")
    head, *lines = table(owner)
    days = {line[head.index("What is owed")]: line[head.index("Storage from")] for line in lines}
    assert sorted(days.values()) == ["", timezone.localdate().isoformat()]


@pytest.mark.parametrize("address", ["/office/{}/", "/bench/{}/"])
@pytest.mark.parametrize(("free_until", "said"), [(4, ", in storage from"), (-1, ", in storage since")])
def test_the_pages_of_the_job_say_it_with_the_day_from_which_it_could_be_collected(
    cast: Cast, owner: Client, terms: None, address: str, free_until: int, said: str
) -> None:
    job = cast.job_at("ready", return_by="collect")
    keeping.refresh(job)
    Owing.objects.update(last_day=timezone.localdate() + free_until * DAY)
    page = words(owner.get(address.format(job.shown_ref)).text)
    assert "Ready to collect since " in page
    assert said in page
    assert LAW in page


def test_once_it_is_collected_nothing_is_said_any_more(cast: Cast, owner: Client, terms: None) -> None:
    job = cast.job_at("ready", return_by="collect")
    keeping.refresh(job)
    cast.pay(job)
    cast.send_back(job)
    assert "storage" not in words(owner.get(f"/bench/{job.ref}/").text)


def test_fifty_of_them_cost_as_many_questions_as_one(cast: Cast, owner: Client, terms: None) -> None:
    def asked() -> int:
        with CaptureQueriesContext(connection) as caught:
            read(owner)
        return len(caught)

    waiting(cast, free_until=-1)
    read(owner)
    one = asked()
    for _ in range(30):
        waiting(cast, free_until=-1)
    assert asked() == one


def test_nothing_happens_by_itself_on_that_day(cast: Cast, owner: Client, terms: None) -> None:
    job = cast.job_at("ready", return_by="collect")
    keeping.refresh(job)
    Owing.objects.update(last_day=timezone.localdate() - DAY)
    before = [model.objects.count() for model in (Entry, Letter, Nudge)]
    keeping.refresh_all()
    read(owner)
    assert [model.objects.count() for model in (Entry, Letter, Nudge)] == before
