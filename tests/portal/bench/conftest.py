"""At the bench: Jory, who is logged in, and photographs that are ready."""

import io
from collections.abc import Callable

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from PIL import Image

from jobs.actions.photo import add_photo, photo_is_ready
from jobs.darkroom import store
from jobs.darkroom.process import Developed, develop
from jobs.models import Job, Photo
from tests.cast import Cast
from tests.portal.conftest import Visitor


@pytest.fixture
def jory(cast: Cast, as_staff: Visitor) -> Client:
    """The technician's browser."""
    return as_staff(cast.technician_user)


@pytest.fixture
def examined(cast: Cast) -> Job:
    return cast.job_at("examining", traits=["frame_counter", "lever_advance", "film_135"])


def jpeg(width: int = 900, height: int = 600, colour: str = "saddlebrown") -> bytes:
    file = io.BytesIO()
    Image.new("RGB", (width, height), colour).save(file, "JPEG")
    return file.getvalue()


def upload(content: bytes | None = None, name: str = "IMG_0001.jpg") -> SimpleUploadedFile:
    return SimpleUploadedFile(name, jpeg() if content is None else content, "image/jpeg")


@pytest.fixture
def hang() -> Callable[..., Photo]:
    """`hang(job, "finding")`: a photograph that has been developed."""

    def developed(job: Job, purpose: str = "finding", **more: object) -> Photo:
        photo = add_photo(store.keep_incoming([jpeg()]), purpose, job=job, file_name="IMG_0001.jpg", **more)
        done = develop(photo.incoming)
        assert isinstance(done, Developed)
        photo_is_ready(photo, width=done.width, height=done.height, sizes=done.sizes)
        photo.refresh_from_db()
        return photo

    return developed
