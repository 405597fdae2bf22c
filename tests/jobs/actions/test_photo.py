import pytest

from jobs.actions import finding
from jobs.actions.photo import Ring, add_photo, describe_photo
from jobs.actions.refusals import Refused
from jobs.models import Photo
from jobs.words import Stage
from tests.cast import Cast


@pytest.fixture
def photo(cast: Cast) -> Photo:
    return add_photo("incoming/a", Photo.Purpose.ARRIVAL, job=cast.job_at(Stage.EXAMINING))


def test_marks_caption_and_finding_are_set_together(cast: Cast, photo: Photo) -> None:
    assert photo.job
    found = cast.post_finding(photo.job)
    describe_photo(
        photo, caption="Under the top cover", finding=found, rings=[Ring(1, 300, 400), Ring(2, 600, 700)]
    )
    photo.refresh_from_db()
    assert (photo.purpose, [mark.n for mark in photo.marks.all()]) == ("finding", [1, 2])


@pytest.mark.parametrize("rings", [[Ring(n, 10, 10) for n in range(1, 6)], [Ring(1, 1001, 10)]])
def test_too_many_marks_or_one_outside_are_refused(photo: Photo, rings: list[Ring]) -> None:
    with pytest.raises(Refused):
        describe_photo(photo, caption="", finding=None, rings=rings)


def test_a_finding_of_another_job_is_refused(cast: Cast, photo: Photo) -> None:
    other = cast.job_at(Stage.EXAMINING, name="Ivo Harkaway", email="ivo@example.net")
    with pytest.raises(Refused):
        describe_photo(photo, caption="", finding=cast.post_finding(other), rings=[])


def test_a_photograph_of_a_kept_finding_is_not_the_customers(photo: Photo) -> None:
    assert photo.job
    kept = finding.keep(photo.job, finding.Draft("lens", "seen", "separate", "looks", "Dust"))
    Photo.objects.update(state="ready", finding=kept)
    assert not photo.job.photos.for_the_customer().exists()
