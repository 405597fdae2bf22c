"""The whole demo with its letters and with what came back: told once, and only looked at."""

import pytest
from django.core.management import call_command
from django.db import transaction
from django.test import override_settings
from django.utils import timezone

from jobs import journal
from jobs.models import Enquiry, Entry, Workshop
from jobs.working_days import Quiet, days_of_the_house
from notifications.models import Incoming, Letter
from notifications.plan import plan_of

pytestmark = [pytest.mark.slow, pytest.mark.django_db]

State = Incoming.State


@pytest.fixture(scope="module")
def told(django_db_setup, django_db_blocker, tmp_path_factory):
    media = override_settings(MEDIA_ROOT=tmp_path_factory.mktemp("media"))
    with django_db_blocker.unblock(), media, transaction.atomic():
        call_command("load_demo", verbosity=0)
        yield
        transaction.set_rollback(True)


def test_the_office_has_one_of_each_kind_of_message(told):
    kinds = sorted((each.state, bool(each.question), bool(each.enquiry)) for each in Incoming.objects.all())
    assert kinds == [
        (State.ASIDE, False, False),
        (State.ROBOT, False, False),
        (State.TAKEN, False, True),
        (State.TAKEN, True, False),
    ]


def test_what_was_taken_to_a_job_is_only_what_they_wrote(told):
    texts = Incoming.objects.filter(state=State.TAKEN).values_list("text", flat=True)
    assert all(text and "wrote:" not in text for text in texts)


def test_a_question_that_came_by_mail_was_answered(told):
    question = Incoming.objects.get(question__isnull=False).question
    assert question.answer
    assert question.asked_at < question.answered_at


def test_our_question_was_answered_by_mail(told):
    answered = Incoming.objects.get(enquiry__isnull=False)
    assert answered.enquiry.answer == answered.text
    assert Enquiry.objects.open().exists()  # another one still waits


def test_nobody_was_written_to_because_of_an_absence_note(told):
    away = Incoming.objects.get(state=State.ROBOT)
    entries = Entry.objects.filter(job__customer__email=away.from_address, at=away.at)
    assert not entries.exists()


def test_what_came_in_lies_on_days_of_the_past_and_breaks_no_journal(told):
    assert all(each.at < timezone.now() for each in Incoming.objects.all())
    assert list(journal.verify_all()) == []


def test_letters_of_the_past_that_could_wait_went_by_day_on_working_days(told):
    house = Workshop.objects.get()
    quiet, days = Quiet(house.quiet_from, house.quiet_until), days_of_the_house(house)
    assert quiet.start != quiet.end
    past = [letter for letter in Letter.objects.filter(state="sent") if not plan_of(letter).urgent]
    assert len(past) > 20
    for letter in past:
        at = timezone.localtime(letter.sent_at)
        assert days.is_worked(at.date()), letter
        assert not quiet.holds(at.time()), letter


def test_whatever_the_hour_the_letters_of_these_days_are_in_the_letterbox_at_once(told):
    waiting = Letter.objects.filter(state="waiting", channel="email")
    assert waiting.count() > 5
    assert not waiting.put_off().exists()
