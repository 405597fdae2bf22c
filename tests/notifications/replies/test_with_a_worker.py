"""From the mailbox to the job's page, with a real IMAP server, a real broker and a real worker."""

import pytest

from jobs.models import Photo, Question
from notifications import tasks
from notifications.models import Incoming, ReplyBox
from notifications.replies import reply_box
from notifications.sealing import seal
from tests.imap import Mailbox
from tests.jobs.darkroom.pictures import grain
from tests.notifications.replies.mails import BOX, reply, with_files
from tests.services import wait_until

pytestmark = [pytest.mark.slow, pytest.mark.worker, pytest.mark.django_db(transaction=True)]


def test_a_reply_with_a_photograph_comes_to_its_job(cast, start_worker, settings):
    mailbox = Mailbox()
    job = cast.book()
    ReplyBox.objects.create(
        host="127.0.0.1",
        port=mailbox.port,
        user="bench",
        sealed_password=seal("a password"),
        security="none",
        address=BOX,
    )
    reply_box.look()
    mailbox.put(with_files(reply(job), ("dent.jpg", grain(), "image/jpeg")))
    start_worker(SECRET_KEY=settings.SECRET_KEY)
    tasks.look_for_replies.delay()
    wait_until(lambda: Question.objects.exists(), 30, "the question")
    wait_until(lambda: Photo.objects.ready().exists(), 30, "the photograph")
    assert Incoming.objects.get().state == Incoming.State.TAKEN
    mailbox.close()
