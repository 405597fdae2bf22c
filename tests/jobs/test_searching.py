import pytest

from jobs.models import Job
from jobs.searching import fold
from tests.cast import Cast, make_cast

pytestmark = pytest.mark.django_db


@pytest.fixture
def cast() -> Cast:
    return make_cast()


@pytest.mark.parametrize(
    "typed", ["müller", "MÜLLER", "Muller", "mu\u0308ller", "jürgen muller", "  müller  corvane "]
)
def test_a_name_is_found_however_it_is_typed(cast: Cast, typed: str) -> None:
    job = cast.book(name="Jürgen Müller", maker="Corvane")
    cast.another_book()
    assert list(Job.objects.found_by(typed)) == [job]


@pytest.mark.parametrize("typed", ["strasse", "STRASSE", "straße", "Straße"])
def test_sharp_s_and_double_s_are_one(cast: Cast, typed: str) -> None:
    job = cast.book(name="Ada Straße")
    assert list(Job.objects.found_by(typed)) == [job]


def test_a_reference_is_found_with_and_without_its_hyphen(cast: Cast) -> None:
    job = cast.book()
    assert list(Job.objects.found_by(job.ref.lower())) == [job]
    assert list(Job.objects.found_by(job.shown_ref)) == [job]


def test_every_word_has_to_match(cast: Cast) -> None:
    cast.book(name="Orla Fennimore", maker="Corvane")
    assert not Job.objects.found_by("orla tellmark")


@pytest.mark.parametrize("typed", ["%", "_", "o%a", "\\"])
def test_signs_that_a_database_reads_as_patterns_are_just_signs(cast: Cast, typed: str) -> None:
    cast.book()
    assert not Job.objects.found_by(typed)


def test_a_claim_is_found_as_its_first_job_is(cast: Cast) -> None:
    from jobs.actions.warranting import open_claim

    job = cast.home()
    claim = open_claim(job, "It jams again.", cast.owner)
    assert set(Job.objects.found_by("fennimore")) == {job, claim}


def test_folding_twice_changes_nothing() -> None:
    for text in ("Ångström ﬁ Ⅳ", "İstanbul", "ß ẞ"):
        assert fold(fold(text)) == fold(text)
