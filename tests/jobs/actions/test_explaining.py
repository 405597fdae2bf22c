"""Own versions of explanations: kept, put in use, taken back, written up from a finding."""

from concurrent.futures import ThreadPoolExecutor
from threading import Barrier

import pytest
from django.db import IntegrityError, connection, connections, transaction

from jobs import collection
from jobs.actions.explaining import (
    SavedInBetween,
    back_to_shipped,
    begin,
    free_key,
    nameless,
    put_in_use,
    save_draft,
    write_up,
)
from jobs.actions.finding import Draft, keep, post, withdraw_finding
from jobs.actions.refusals import Refused
from jobs.library import write
from jobs.models import Customer, ExplanationVersion, Finding
from jobs.words import Stage
from tests.cast import Cast, make_cast
from tests.own_text import COUNTER, OWN, own_text, text

pytestmark = pytest.mark.django_db


@pytest.fixture
def by_hand(cast: Cast) -> Finding:
    """A finding in the bench's own words."""
    job = cast.job_at(
        Stage.EXAMINING, story="Orla here (orla@example.org). My lever went slack, ring 01632 960142."
    )
    return cast.post_finding(job, title="Orla’s lever spring has let go", text="The spring (1) lies loose.")


def front_and_parts(key: str) -> tuple[dict[str, object], dict[str, str]]:
    version = collection.latest(key)
    assert version
    return write.read(version.text)


def test_each_save_adds_a_version(cast: Cast) -> None:
    save_draft(COUNTER, text(), 0, cast.technician, "First try")
    save_draft(COUNTER, text(short="Another sentence."), 1, cast.owner)
    told = ExplanationVersion.objects.values_list("n", "by", "note", "state")
    assert list(told) == [
        (1, cast.technician.name, "First try", "draft"),
        (2, cast.owner.name, "", "draft"),
    ]


def test_an_unfinished_text_is_kept_as_a_draft(cast: Cast) -> None:
    kept = save_draft(COUNTER, text(title=None), 0, cast.technician)
    assert kept.state == "draft"


def test_an_unfinished_text_is_not_put_in_use(cast: Cast) -> None:
    with pytest.raises(Refused, match="cannot be put in use"):
        put_in_use(COUNTER, text(title=None), 0, cast.technician)
    assert not ExplanationVersion.objects.exists()


def test_a_hazard_without_its_caution_is_not_put_in_use(cast: Cast) -> None:
    with pytest.raises(Refused, match="cautions"):
        put_in_use(COUNTER, text(cautions=[]), 0, cast.technician)


def test_who_saves_on_an_older_version_is_told_who_was_first(cast: Cast) -> None:
    save_draft(COUNTER, text(), 0, cast.owner)
    with pytest.raises(SavedInBetween, match=cast.owner.name) as told:
        save_draft(COUNTER, text(short="Mine."), 0, cast.technician)
    assert told.value.newest == ExplanationVersion.objects.get()


@pytest.mark.django_db(transaction=True)
def test_of_two_who_save_at_the_same_moment_one_is_told() -> None:
    by, start = make_cast().technician, Barrier(2)

    def save(words: str) -> str:
        start.wait(5)
        try:
            save_draft(COUNTER, text(short=words), 0, by)
        except SavedInBetween:
            return "told"
        finally:
            connections.close_all()
        return "saved"

    with ThreadPoolExecutor(2) as pool:
        ends = list(pool.map(save, ["One.", "Two."]))
    assert sorted(ends) == ["saved", "told"]
    assert ExplanationVersion.objects.count() == 1


def test_a_version_is_never_changed_by_the_database_itself(cast: Cast) -> None:
    save_draft(COUNTER, text(), 0, cast.technician)
    for statement in ("UPDATE jobs_explanationversion SET by = 'x'", "DELETE FROM jobs_explanationversion"):
        with (
            pytest.raises(IntegrityError, match="append-only"),
            transaction.atomic(),
            connection.cursor() as cursor,
        ):
            cursor.execute(statement)


def test_back_to_the_shipped_text_adds_a_version_too(cast: Cast) -> None:
    put_in_use(COUNTER, text(short="Ours.", bench_words=["counter"]), 0, cast.technician)
    back = back_to_shipped(COUNTER, 1, cast.owner, "Theirs is better")
    assert (back.n, back.state, back.note) == (2, "shipped", "Theirs is better")
    assert back.text == collection.shipped_text(COUNTER)


def test_there_is_no_way_back_where_nothing_of_ours_is_in_use(cast: Cast) -> None:
    save_draft(COUNTER, text(), 0, cast.technician)
    with pytest.raises(Refused, match="No version of ours"):
        back_to_shipped(COUNTER, 1, cast.technician)


def test_our_own_entry_can_be_taken_out_of_use(cast: Cast) -> None:
    put_in_use(OWN, own_text(), 0, cast.technician)
    back_to_shipped(OWN, 1, cast.technician)
    assert OWN not in collection.entries()


def test_a_new_explanation_begins_as_a_draft_under_a_key_of_its_own(cast: Cast) -> None:
    first = begin("counter", "Does it skip?", cast.technician)
    second = begin("counter", "Does it skip?", cast.technician)
    assert (first, second) == ("counter/does-it-skip", "counter/does-it-skip-2")
    assert front_and_parts(first)[0]["title"] == "Does it skip?"


def test_a_key_never_takes_a_shipped_entrys_place() -> None:
    assert free_key("counter", "Stops at one number") == f"{COUNTER}-2"


@pytest.mark.parametrize("title", ["1/500 is slow", "…", "Ünï"])
def test_any_title_gives_a_key_that_an_address_can_hold(title: str) -> None:
    mechanism, slug = free_key("lens", title).split("/")
    assert mechanism == "lens"
    assert slug[0].isalpha()
    assert slug.replace("-", "").isalnum()


def test_a_finding_written_up_brings_its_words_along(cast: Cast, by_hand: Finding) -> None:
    front, parts = front_and_parts(write_up(by_hand, cast.technician))
    assert (front["certainty"], front["bearing"], front["effect"]) == ("seen", "explains", "stops")
    assert parts == {"happening": "The spring lies loose."}


def test_a_finding_written_up_names_nobody(cast: Cast, by_hand: Finding) -> None:
    version = collection.latest(write_up(by_hand, cast.technician))
    assert version
    assert "slack" in version.text
    for private in ("Orla", "orla@example.org", "960142", "Fennimore"):
        assert private not in version.text
        assert private.lower() not in version.key


def test_a_finding_is_written_up_once(cast: Cast, by_hand: Finding) -> None:
    assert write_up(by_hand, cast.technician) == write_up(by_hand, cast.owner)
    assert ExplanationVersion.objects.count() == 1


def test_a_kept_finding_can_be_written_up(cast: Cast) -> None:
    kept = keep(cast.job_at(Stage.EXAMINING), Draft("lens", "seen", "separate", "looks", "A mark on the rim"))
    assert write_up(kept, cast.technician) == "lens/a-mark-on-the-rim"


def test_a_finding_from_the_library_is_not_written_up(cast: Cast) -> None:
    job = cast.job_at(Stage.EXAMINING)
    said = Draft("counter", "seen", "earlier", "stops", "It stops", explanation=COUNTER)
    with pytest.raises(Refused, match="our own words"):
        write_up(keep(job, said), cast.technician)


def test_a_finding_taken_back_is_not_written_up(cast: Cast, by_hand: Finding) -> None:
    withdraw_finding(by_hand, "We looked again.", cast.technician)
    with pytest.raises(Refused, match="our own words"):
        write_up(by_hand, cast.technician)


def test_a_written_up_draft_cannot_explain_a_finding_yet(cast: Cast, by_hand: Finding) -> None:
    key = write_up(by_hand, cast.technician)
    said = Draft("transport", "seen", "explains", "stops", "Again", explanation=key)
    with pytest.raises(Refused, match="no such explanation"):
        post(keep(by_hand.job, said), cast.technician)


@pytest.mark.parametrize(
    ("told", "kept"),
    [
        ("Dear Anselm, it works", "Dear …, it works"),
        ("Mr Okoro-Byrne brought it", "Mr … brought it"),
        ("Write to a.b@example.net or ring +44 1632 960 142 soon", "Write to … or ring … soon"),
        ("It stops at 22 of 36 at 1/500", "It stops at 22 of 36 at 1/500"),
        ("Anselmo is somebody else", "Anselmo is somebody else"),
    ],
)
def test_what_tells_who_the_customer_is_becomes_a_gap(told: str, kept: str) -> None:
    assert nameless(told, Customer(name="Anselm Okoro-Byrne")) == kept
