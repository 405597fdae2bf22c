from datetime import timedelta
from pathlib import Path
from uuid import uuid4

import time_machine
from django.utils import timezone

from jobs.actions.photo import add_photo
from jobs.darkroom import store
from jobs.models import Photo, Trace
from jobs.tasks import forget_orphans
from jobs.words import Stage
from tests.cast import Cast


def later(days: int):  # type: ignore[no-untyped-def]
    return time_machine.travel(timezone.now() + timedelta(days=days), tick=False)


def test_an_upload_whose_form_was_never_finished_is_forgotten_with_its_file(db: None, media: Path) -> None:
    name = store.keep_incoming([b"bytes"])
    add_photo(name, Photo.Purpose.STORY, basket=uuid4())
    with later(8):
        forget_orphans()
    assert not Photo.objects.exists()
    assert not store.path(name).exists()


def test_an_upload_of_yesterday_is_kept(db: None) -> None:
    add_photo(store.keep_incoming([b"bytes"]), Photo.Purpose.STORY, basket=uuid4())
    with later(1):
        forget_orphans()
    assert Photo.objects.exists()


def test_from_where_an_answer_came_is_forgotten_in_time_and_the_answer_stays(cast: Cast) -> None:
    job = cast.job_at(Stage.AGREED)
    assert Trace.objects.exclude(salt="").exists()
    with later(402):
        forget_orphans()
    trace = Trace.objects.get()
    assert (trace.address, trace.agent, trace.salt, trace.link) == ("", "", "", None)
    assert job.quotes.get().decision.gross == 9700
