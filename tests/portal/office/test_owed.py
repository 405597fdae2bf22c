"""The office's page of what is owed: who owes what, what follows, whom to ring first, and the presses."""

import csv
import re
from datetime import date, timedelta
from io import StringIO
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from jobs.actions.moving import changing
from jobs.models import Job, Kind
from jobs.words import Stage
from notifications.chasing import keeping
from notifications.models import Nudge, Owing, Pause
from tests.cast import Cast
from tests.portal.conftest import Visitor

pytestmark = pytest.mark.django_db


@pytest.fixture
def owner(cast: Cast, as_staff: Visitor) -> Client:
    return as_staff(cast.owner_user)


def owing(job: Job, about: str = "quote", days: int = 3, **more: Any) -> Owing:
    """A row as the chasing keeps it."""
    told = {
        "state": "chased",
        "money": 9700,
        "next_on": timezone.localdate() + timedelta(days=2),
        "next_way": "email",
        "next_tone": "kind",
        "chance": 0.4,
        "gain": 2100,
        **more,
    }
    since = timezone.now() - timedelta(days=days)
    return Owing.objects.create(
        job=job, about=about, thing=f"{about}-{Owing.objects.count()}", since=since, **told
    )


def words(page: str) -> str:
    return re.sub(r"\s+", " ", re.sub(r"<[^>]*>", " ", page.partition("<main")[2]))


def read(client: Client, query: str = "") -> str:
    answer = client.get(f"/office/owed/{query}")
    assert answer.status_code == 200
    return words(answer.content.decode())


def refs_on(page: str) -> list[str]:
    """In the order in which they stand."""
    return list(dict.fromkeys(re.findall(r"\b[0-9A-Z]{4}-[0-9A-Z]{3}\b", page)))


def test_with_nothing_owed_it_says_so(owner: Client) -> None:
    assert "Nobody owes us anything." in read(owner)


def test_what_is_owed_stands_first_in_words(cast: Cast, owner: Client) -> None:
    for about in ("quote", "question", "payment", "payment", "collection"):
        owing(cast.book(), about, state="call" if about == "payment" else "chased")
    page = read(owner)
    assert "Two answers, two payments and one collection are owed to us." in page
    assert "£485 hangs on it." in page
    assert "Two are for the telephone." in page


def test_one_thing_is_said_in_the_singular(cast: Cast, owner: Client) -> None:
    owing(cast.book())
    assert "One answer is owed to us." in read(owner)


def test_a_row_says_who_owes_what_since_when_and_what_follows(cast: Cast, owner: Client) -> None:
    row = owing(cast.book(), days=5, next_way="text", next_tone="last")
    page = read(owner)
    for said in ("Corvane Skerry", "Orla Fennimore", "an answer to the quote", " 5 ", "£97", "about £21"):
        assert said in page
    assert row.next_on
    assert (
        f"the last reminder goes {row.next_on:%a} {row.next_on.day} {row.next_on:%b}, by text message" in page
    )
    assert "without one 4 in 10" in page


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ({"next_on": date(2020, 1, 6)}, "a kind reminder goes today, by e-mail"),
        ({"state": "call", "next_on": None}, " ring "),
        ({"state": "ours", "next_on": None}, "answer their question"),
        ({"state": "paused", "next_on": None}, " paused "),
    ],
)
def test_what_follows_is_told_in_words(cast: Cast, owner: Client, more: dict[str, Any], said: str) -> None:
    owing(cast.book(), **more)
    assert said in read(owner)


def test_what_is_put_off_says_until_when_and_why(cast: Cast, owner: Client) -> None:
    job = cast.book()
    day = timezone.localdate() + timedelta(days=4)
    Pause.objects.create(job=job, until=day, because="Away at sea")
    owing(job, state="paused")
    page = read(owner)
    assert f"put off until {day:%a} {day.day} {day:%b}" in page
    assert "Away at sea" in page


def test_it_says_whether_their_page_was_opened_since_it_was_asked(cast: Cast, owner: Client) -> None:
    job = cast.book()
    owing(job, days=3)
    assert "not opened yet" in read(owner)
    Job.objects.filter(pk=job.pk).update(opened_at=timezone.now() - timedelta(days=4))
    assert "not opened yet" in read(owner)
    Job.objects.filter(pk=job.pk).update(opened_at=timezone.now())
    assert "not opened yet" not in read(owner)


def test_nudges_of_this_very_thing_are_strokes_on_its_rail(cast: Cast, owner: Client) -> None:
    job = cast.book()
    row = owing(job, days=9)
    for step, days in ((1, 6), (2, 2)):
        at = timezone.now() - timedelta(days=days)
        Nudge.objects.create(job=job, about="quote", thing=row.thing, step=step, at=at)
    Nudge.objects.create(job=job, about="payment", thing="payment-9", step=1, at=timezone.now())
    assert owner.get("/office/owed/").content.decode().count('class="reach"') == 2


def test_whom_a_call_would_gain_most_comes_first(cast: Cast, owner: Client) -> None:
    little, much = cast.book(), cast.another_book()
    owing(little, gain=100)
    owing(much, gain=5000)
    assert refs_on(read(owner)) == [much.shown_ref, little.shown_ref]


@pytest.mark.parametrize(
    ("order", "first"),
    [
        ("gain", {"gain": 9000}),
        ("since", {"days": 90}),
        ("money", {"money": 99_000}),
        ("next", {"next_on": date(2020, 1, 6)}),
    ],
)
def test_it_can_be_ordered_in_other_ways(
    cast: Cast, owner: Client, order: str, first: dict[str, Any]
) -> None:
    plain, wanted, other = cast.book(), cast.another_book(), cast.book()
    owing(plain)
    owing(wanted, **first)
    owing(other, next_on=None, state="call", gain=1)
    assert refs_on(read(owner, f"?order={order}"))[0] == wanted.shown_ref


def test_of_which_no_nudge_follows_stands_after_those_of_which_one_does(cast: Cast, owner: Client) -> None:
    none, soon = cast.book(), cast.another_book()
    owing(none, state="call", next_on=None, gain=99_999)
    owing(soon)
    assert refs_on(read(owner, "?order=next")) == [soon.shown_ref, none.shown_ref]


def test_one_kind_of_thing_can_be_shown_alone(cast: Cast, owner: Client) -> None:
    quote, payment, ring, off = (cast.book() for _ in range(4))
    owing(quote)
    owing(payment, "payment")
    owing(ring, state="call")
    owing(off, state="paused")
    assert refs_on(read(owner, "?about=payment")) == [payment.shown_ref]
    assert refs_on(read(owner, "?state=call")) == [ring.shown_ref]
    assert refs_on(read(owner, "?state=paused")) == [off.shown_ref]
    assert "None of this kind." in read(owner, "?about=collection")


@pytest.mark.parametrize("query", ["?order=name", "?about=money", "?state=ours"])
def test_an_order_that_there_is_not_is_no_page(owner: Client, query: str) -> None:
    assert owner.get(f"/office/owed/{query}").status_code == 404


@pytest.mark.parametrize(
    "query", ["after=x", "after=1~", "order=since&after=2026~1", "order=next&after=none~x", "after=9~9e9"]
)
def test_a_made_up_place_shows_the_first_page(cast: Cast, owner: Client, query: str) -> None:
    job = cast.book()
    owing(job)
    assert job.shown_ref in read(owner, f"?{query}")


@pytest.mark.parametrize("query", ["after=99999999999999999999~1", "after=1~99999999999999999999"])
def test_a_place_beyond_all_numbers_is_no_error(cast: Cast, owner: Client, query: str) -> None:
    owing(cast.book())
    read(owner, f"?{query}")


@pytest.mark.parametrize("order", ["gain", "since", "money", "next"])
def test_every_thing_stands_on_exactly_one_page(cast: Cast, owner: Client, order: str) -> None:
    """Many alike in what they are ordered by: the primary key settles it."""
    for n in range(120):
        next_on = None if n % 3 else timezone.localdate() + timedelta(days=n % 5)
        owing(cast.book(), days=n % 4, gain=n % 2, money=n % 3, next_on=next_on)
    since = Owing.objects.earliest("since").since
    Owing.objects.filter(pk__lt=Owing.objects.earliest("pk").pk + 60).update(since=since)
    seen: list[str] = []
    query = f"?order={order}"
    while query:
        page = owner.get(f"/office/owed/{query}").content.decode()
        seen += refs_on(words(page))
        more = re.search(r'rel="next" href="(\?[^"]+)"', page)
        query = more[1].replace("&amp;", "&") if more else ""
    assert len(seen) == len(set(seen)) == 120


def test_fifty_rows_cost_as_many_questions_as_one(cast: Cast, owner: Client) -> None:
    def asked() -> int:
        with CaptureQueriesContext(connection) as caught:
            read(owner)
        return len(caught)

    owing(cast.book())
    read(owner)
    one = asked()
    for _ in range(49):
        owing(cast.book())
    assert asked() == one


def test_what_people_typed_is_not_markup(cast: Cast, owner: Client) -> None:
    job = cast.book(name="<b>Orla</b>", maker="<i>Corvane</i>")
    Pause.objects.create(job=job, because="<u>away</u>")
    owing(job, state="paused")
    page = owner.get("/office/owed/").content.decode()
    assert "<b>Orla" not in page
    assert "<i>Corvane" not in page
    assert "<u>" not in page


def test_the_first_sentence_of_the_office_leads_here(cast: Cast, owner: Client) -> None:
    cast.job_at(Stage.QUOTED)
    assert '<a href="/office/owed/">One answer</a> is owed to us.' in owner.get("/office/").content.decode()


# The presses


def quoted(cast: Cast) -> Job:
    """A job with a quote that waits, and its row."""
    job = cast.job_at(Stage.QUOTED)
    with changing(job) as fresh:
        keeping.refresh(fresh)
    return job


def test_one_press_nudges_and_comes_back_to_the_list_as_it_was(cast: Cast, owner: Client) -> None:
    job = quoted(cast)
    thing = Owing.objects.get().thing
    told = {"back": "owed", "at": "order=money&about=quote&evil=1", "thing": thing}
    answer = owner.post(f"/office/{job.shown_ref}/nudge/", told)
    assert (answer.status_code, answer["Location"]) == (303, "/office/owed/?order=money&about=quote")
    assert job.entries.filter(kind=Kind.NUDGED).count() == 1


def test_a_made_up_way_back_leads_to_the_plain_list(cast: Cast, owner: Client) -> None:
    job = quoted(cast)
    answer = owner.post(f"/office/{job.shown_ref}/nudge/", {"back": "owed", "at": "order=//evil.example"})
    assert (answer.status_code, answer["Location"]) == (303, "/office/owed/")


@pytest.mark.parametrize("days", [1, 7])
def test_one_press_puts_off_for_a_day_or_a_week(cast: Cast, owner: Client, days: int) -> None:
    job = quoted(cast)
    answer = owner.post(f"/office/{job.shown_ref}/put-off/", {"back": "owed", "days": days})
    assert (answer.status_code, answer["Location"]) == (303, "/office/owed/")
    assert Pause.objects.get(job=job).until == timezone.localdate() + timedelta(days=days)
    assert "put off until" in read(owner)


def test_it_can_be_put_off_until_a_day_with_a_reason(cast: Cast, owner: Client) -> None:
    job = quoted(cast)
    day = timezone.localdate() + timedelta(days=12)
    owner.post(
        f"/office/{job.shown_ref}/put-off/", {"until": day.isoformat(), "because": "Away", "back": "owed"}
    )
    pause = Pause.objects.get(job=job)
    assert (pause.until, pause.because) == (day, "Away")


def test_it_can_be_put_off_without_a_day(cast: Cast, owner: Client) -> None:
    job = quoted(cast)
    owner.post(f"/office/{job.shown_ref}/put-off/", {"open_end": "on", "back": "owed"})
    assert Pause.objects.get(job=job).until is None


def test_it_is_said_until_when_nothing_goes(cast: Cast, owner: Client) -> None:
    job = quoted(cast)
    day = timezone.localdate() + timedelta(days=7)
    owner.post(f"/office/{job.shown_ref}/put-off/", {"back": "owed", "days": 7})
    assert f"No reminder goes to Orla Fennimore before {day:%A} {day.day} {day:%B}." in read(owner)
    owner.post(f"/office/{job.shown_ref}/put-off/", {"back": "owed", "open_end": "on"})
    assert "No reminder goes to Orla Fennimore until you take it up again." in read(owner)


def test_a_day_and_no_day_at_once_are_sent_back(cast: Cast, owner: Client) -> None:
    job = quoted(cast)
    day = (timezone.localdate() + timedelta(days=12)).isoformat()
    answer = owner.post(f"/office/{job.shown_ref}/put-off/", {"until": day, "open_end": "on"})
    assert answer.status_code == 422
    page = answer.content.decode()
    assert "You chose a day too. Leave one of the two out." in page
    assert f'value="{day}"' in page
    assert not Pause.objects.exists()


@pytest.mark.parametrize("until", ["", "x", "2020-01-01", "2999-01-01"])
def test_a_day_that_cannot_be_is_sent_back_with_what_was_typed(cast: Cast, owner: Client, until: str) -> None:
    job = quoted(cast)
    answer = owner.post(f"/office/{job.shown_ref}/put-off/", {"until": until, "because": "Away"})
    assert answer.status_code == 422
    assert 'value="Away"' in answer.content.decode()
    assert not Pause.objects.exists()
    assert not job.entries.filter(kind=Kind.PAUSED).exists()


def test_what_was_put_off_is_taken_up_again(cast: Cast, owner: Client) -> None:
    job = quoted(cast)
    owner.post(f"/office/{job.shown_ref}/put-off/", {"days": 7, "back": "owed"})
    page = owner.get("/office/owed/").content.decode()
    assert "Take up again" in page
    assert "Nudge now" not in page
    owner.post(f"/office/{job.shown_ref}/take-up/", {"back": "owed"})
    assert not Pause.objects.exists()
    assert "Nudge now" in owner.get("/office/owed/").content.decode()


def test_the_page_of_the_job_leads_to_what_can_be_done_and_back(cast: Cast, owner: Client) -> None:
    job = quoted(cast)
    page = f"/office/{job.shown_ref}/"
    for there in ("ring", "put-off"):
        assert f'href="{page}{there}/?back=job"' in owner.get(page).content.decode()
        assert 'name="back" value="job"' in owner.get(f"{page}{there}/?back=job").content.decode()
    answer = owner.post(f"{page}put-off/", {"days": 7, "back": "job"})
    assert answer["Location"] == page
    assert "Take reminders up again" in owner.get(page).content.decode()


@pytest.mark.parametrize(
    ("state", "offered"), [("chased", True), ("call", True), ("paused", False), ("ours", False)]
)
def test_the_page_of_the_job_offers_to_nudge_for_whatever_is_owed(
    cast: Cast, owner: Client, state: str, offered: bool
) -> None:
    job = cast.job_at(Stage.READY)
    row = owing(job, "collection", state=state)
    page = owner.get(f"/office/{job.shown_ref}/").content.decode()
    assert ("Nudge now" in page) == offered
    assert (f'name="thing" value="{row.thing}"' in page) == offered


def test_the_page_of_a_job_that_owes_nothing_offers_none_of_it(cast: Cast, owner: Client) -> None:
    assert "put-off" not in owner.get(f"/office/{cast.book().shown_ref}/").content.decode()


def test_taking_up_what_was_not_put_off_is_refused_in_words(cast: Cast, owner: Client) -> None:
    job = quoted(cast)
    owner.post(f"/office/{job.shown_ref}/take-up/", {"back": "owed"})
    assert "not paused" in read(owner)


def test_looking_changes_nothing(cast: Cast, owner: Client) -> None:
    job = quoted(cast)
    before = job.entries.count()
    for page in ("put-off", "ring"):
        assert owner.get(f"/office/{job.shown_ref}/{page}/").status_code == 200
    assert owner.get(f"/office/{job.shown_ref}/take-up/").status_code == 405
    assert job.entries.count() == before


# The file


def table(client: Client, query: str = "") -> list[list[str]]:
    answer = client.get(f"/office/owed.csv{query}")
    assert answer.status_code == 200
    return list(csv.reader(StringIO(answer.content.decode("utf-8-sig"), newline="")))


def test_the_file_has_every_row_in_the_order_and_with_the_filter_of_the_page(
    cast: Cast, owner: Client
) -> None:
    for n in range(60):
        owing(cast.book(), "payment" if n % 2 else "quote", gain=n)
    head, *rows = table(owner, "?about=payment")
    assert len(rows) == 30
    gains = [float(row[head.index("What a call gains")]) for row in rows]
    assert gains == sorted(gains, reverse=True)


def test_a_line_of_the_file_says_what_the_row_says(cast: Cast, owner: Client) -> None:
    row = owing(cast.book(name="Åse Ørsted"), days=3)
    head, line = table(owner)
    told = dict(zip(head, line, strict=True))
    assert told["Person"] == "Åse Ørsted"
    assert told["What is owed"] == "an answer to the quote"
    assert told["Since"] == timezone.localdate(row.since).isoformat()
    assert (told["Days"], told["Sum"], told["Currency"]) == ("3", "97.00", "GBP")
    assert told["Next reminder"] == row.next_on.isoformat()
    assert told["Chance of an answer within a week"] == "0.40"


def test_a_name_that_looks_like_a_formula_stays_a_name(cast: Cast, owner: Client) -> None:
    owing(cast.book(name='=HYPERLINK("http://example.org";"click")', telephone="+44 1632 960142"))
    head, line = table(owner)
    assert line[head.index("Person")] == '\'=HYPERLINK("http://example.org";"click")'
    assert line[head.index("Telephone")] == "'+44 1632 960142"


def test_the_file_is_taken_away_and_not_kept(cast: Cast, owner: Client) -> None:
    answer = owner.get("/office/owed.csv")
    assert answer["Content-Type"].startswith("text/csv; charset=utf-8")
    assert re.fullmatch(r'attachment; filename="owed-\d{4}-\d\d-\d\d.csv"', answer["Content-Disposition"])
    assert "no-store" in answer["Cache-Control"]


def test_a_file_that_was_cut_says_so(cast: Cast, owner: Client, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("portal.office.owed_file.MOST", 2)
    for _ in range(3):
        owing(cast.book())
    _head, *rows = table(owner)
    assert len(rows) == 3
    assert rows[2][0].startswith("There are more.")
