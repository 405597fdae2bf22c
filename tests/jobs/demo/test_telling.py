"""Answers by mail in a story: handed to whoever loads the demo, on the day of the story."""

from datetime import date
from typing import Any

import pytest
from django.utils import timezone

from jobs.actions import asking
from jobs.demo.telling import Teller
from jobs.models import Job
from tests.cast import Cast

pytestmark = pytest.mark.django_db


def teller(cast: Cast, **more: Any) -> Teller:
    return Teller(cast.owner, cast.technician, **more)


def test_what_they_write_is_handed_over_on_that_day(cast: Cast) -> None:
    handed: list[tuple[Job, str, str, date]] = []
    tell = teller(cast, mail=lambda *told: handed.append((*told, timezone.localdate())))
    job = cast.book()
    tell.on(12, 19).wrote(job, "I am travelling.", "absent")
    [(of, text, how, day)] = handed
    assert (of, text, how) == (job, "I am travelling.", "absent")
    assert (timezone.localdate() - day).days == 12


def test_the_question_that_came_of_it_is_given_back_and_no_other(cast: Cast) -> None:
    job = cast.book()
    tell = teller(cast, mail=lambda job, text, how: asking.ask(job, text, tell.of(job), text))
    before = tell.on(9).asked(job, "Is it safe?")
    question = tell.on(8).wrote(job, "Will it last?")
    assert question.text == "Will it last?"
    assert question != before


def test_where_nobody_takes_mail_in_nothing_comes_of_it(cast: Cast) -> None:
    job = cast.book()
    tell = teller(cast)
    tell.on(9).asked(job, "Is it safe?")
    assert tell.on(8).wrote(job, "Will it last?") is None
