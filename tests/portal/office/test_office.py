from tests.cast import Cast
from tests.portal.conftest import Visitor


def test_smoke(cast: Cast, as_staff: Visitor) -> None:
    for stage in ("expected", "arrived", "examining", "quoted", "agreed", "awaiting_part", "in_work", "proving", "ready", "returned", "withdrawn"):
        job = cast.job_at(stage)
    owner = as_staff(cast.owner_user)
    for path in ("/office/", "/office/?show=promises", "/office/?show=money", "/office/?find=orla", f"/office/{job.shown_ref}/", "/office/letters/", "/office/settings/", "/office/staff/", "/staff/password/"):
        assert owner.get(path).status_code == 200, path
