"""Letters in another language than the workshop's."""

import pytest
from django.utils.translation import override

from jobs.models import Customer
from notifications import render
from notifications.models import Letter
from tests.cast import Cast
from tests.german import untranslated
from tests.notifications import scenes

pytestmark = pytest.mark.django_db


def in_german(letter: Letter) -> render.Written:
    letter.language = letter.job.customer.language = "de"
    return render.written(letter, None)


def test_every_letter_to_a_customer_is_wholly_german(cast: Cast) -> None:
    letters = scenes.every_letter(cast)
    Customer.objects.update(language="de")
    with untranslated() as heard:
        for letter in letters.values():
            if not letter.is_to_the_workshop:
                in_german(letter)
    assert sorted(heard) == []


def test_a_letter_is_written_in_the_customers_language_whoever_made_it_go(cast: Cast) -> None:
    job = cast.book()
    Customer.objects.update(language="de")
    with override("en-gb"):
        scenes.run()
    letter = scenes.letter_of(job, "booked")
    assert letter.language == "de"
    assert f"({job.shown_ref})" in letter.subject
    assert "Guten Tag Orla" in letter.text
    assert 'lang="de"' in letter.html


def test_letters_to_the_workshop_stay_english(cast: Cast) -> None:
    job = cast.job_at("quoted")
    Customer.objects.update(language="de")
    scenes.asked_and_nudged(cast, cast.job_at("examining", name="Ada Quill", email="ada@example.org"))
    assert scenes.letter_of(Letter.objects.get(kind="staff_asked").job, "staff_asked").language == "en-gb"
    assert job.customer.pk


def test_dates_in_a_german_letter_are_german(cast: Cast) -> None:
    from datetime import date

    from django.template import Context, Template

    with override("de"):
        said = Template('{{ day|date:_("l j F Y") }}').render(Context({"day": date(2026, 10, 5)}))
    assert said == "Montag, 5. Oktober 2026"
