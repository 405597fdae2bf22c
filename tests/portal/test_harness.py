"""The suite stands on real parts; these tests say so."""

import smtplib

import pytest
from django.core import mail
from django.db import connection

from portal.models import Pulse
from portal.tasks import pulse
from tests.services import wait_until


@pytest.mark.worker
def test_a_real_worker_takes_a_message_from_the_broker_and_writes_to_the_tests_database(start_worker):
    start_worker()
    pulse.apply_async(["media"], queue="media")
    wait_until(Pulse.objects.filter(queue="media").exists, what="the pulse")


def test_mail_goes_through_a_real_smtp_conversation(mail_to_sink):
    mail.send_mail("A letter", "from the bench", "workshop@example.org", ["ada@example.org"])
    assert b"from the bench" in mail_to_sink.letters[0]


def test_the_sink_can_lose_its_answer_after_it_kept_the_letter(mail_to_sink):
    mail_to_sink.behave("drop", spells=1)
    with pytest.raises(smtplib.SMTPServerDisconnected):
        mail.send_mail("A letter", "from the bench", "workshop@example.org", ["ada@example.org"])
    assert len(mail_to_sink.letters) == 1


@pytest.mark.django_db
def test_the_database_is_a_real_file_or_a_real_server():
    assert "memory" not in str(connection.settings_dict["NAME"])
