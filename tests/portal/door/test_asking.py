import time

import pytest
from django.test import Client

from jobs import refs
from jobs.actions.warranting import open_claim
from jobs.models import Entry, Job, Kind
from portal.door import asking
from tests.cast import Cast

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def quick(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(asking, "ANSWER_SECONDS", 0.0)


@pytest.fixture
def job(cast: Cast) -> Job:
    return cast.book()


def asked() -> list[str]:
    return list(Entry.objects.filter(kind=Kind.LINK_ASKED).values_list("job__ref", flat=True))


def test_a_reference_sends_a_link_for_its_job(job: Job, nobody: Client) -> None:
    answer = nobody.post("/find/", {"contact": job.shown_ref.lower()})
    assert (answer.status_code, answer["Location"]) == (303, "/asked/")
    assert asked() == [job.ref]


@pytest.mark.parametrize("typed", ["orla@example.org", "ORLA@Example.org", " orla@example.org "])
def test_an_address_sends_a_link_for_each_open_job(cast: Cast, job: Job, nobody: Client, typed: str) -> None:
    second = cast.book(maker="Pellam")
    cast.another_book()
    nobody.post("/find/", {"contact": typed})
    assert sorted(asked()) == sorted([job.ref, second.ref])


def test_whoever_has_only_finished_jobs_gets_the_last_one(cast: Cast, nobody: Client) -> None:
    home = cast.home()
    nobody.post("/find/", {"contact": "orla@example.org"})
    assert asked() == [home.ref]


def test_a_finished_job_is_left_out_while_another_is_open(cast: Cast, nobody: Client) -> None:
    claim = open_claim(cast.home(), "It jams again.", cast.owner)
    nobody.post("/find/", {"contact": "orla@example.org"})
    assert asked() == [claim.ref]


@pytest.mark.parametrize("typed", ["nobody@example.org", refs.show(refs.encode(7))])
def test_a_stranger_gets_the_same_answer_and_no_letter_goes(job: Job, nobody: Client, typed: str) -> None:
    known = Client().post("/find/", {"contact": "orla@example.org"})
    before = len(asked())
    unknown = nobody.post("/find/", {"contact": typed})
    assert (unknown.status_code, unknown["Location"]) == (known.status_code, known["Location"])
    assert len(asked()) == before


def test_the_clock_does_not_tell_who_is_known(job: Job, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(asking, "ANSWER_SECONDS", 0.4)

    def seconds(contact: str) -> float:
        """The quickest of three: whatever else the machine does only adds to it."""
        took = []
        for _ in range(3):
            started = time.monotonic()
            Client().post("/find/", {"contact": contact})
            took.append(time.monotonic() - started)
        return min(took)

    assert abs(seconds("orla@example.org") - seconds("nobody@example.org")) < 0.2
    assert seconds("somebody@example.org") >= 0.4


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ("", "Type the reference"),
        ("4TM7-QKX", "One sign of this reference"),
        ("orla@", "Something is missing"),
        ("orla", "One sign of this reference"),
    ],
)
def test_a_slip_is_told_next_to_the_field_and_kept(
    cast: Cast, nobody: Client, typed: str, sentence: str
) -> None:
    answer = nobody.post("/find/", {"contact": typed})
    page = answer.content.decode()
    assert answer.status_code == 422
    assert sentence in page
    assert f'value="{typed}"' in page or not typed


def test_one_contact_gets_three_letters_an_hour_from_wherever_it_is_asked(job: Job) -> None:
    for n in range(6):
        Client(REMOTE_ADDR=f"192.0.2.{n}").post("/find/", {"contact": "orla@example.org"})
    assert len(asked()) == 3


def test_one_place_may_ask_ten_times_an_hour(job: Job, nobody: Client) -> None:
    codes = [nobody.post("/find/", {"contact": f"{n}@example.org"}).status_code for n in range(12)]
    assert codes == [303] * 10 + [429] * 2


def test_a_header_does_not_make_another_place(job: Job, nobody: Client) -> None:
    codes = [
        nobody.post(
            "/find/", {"contact": f"{n}@example.org"}, headers={"X-Forwarded-For": f"198.51.100.{n}"}
        ).status_code
        for n in range(11)
    ]
    assert codes[-1] == 429


def test_looking_at_the_page_asks_for_nothing(job: Job, nobody: Client) -> None:
    assert nobody.get("/find/").status_code == 200
    assert nobody.get("/asked/").status_code == 200
    assert not asked()
