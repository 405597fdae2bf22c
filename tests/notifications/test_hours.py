"""When letters go: at once, after a short wait for company, or when it is day where the customer lives."""

from datetime import UTC, datetime, time

import pytest

from jobs.actions import quote
from notifications import hours, relay
from notifications.models import Letter, PushSubscription, TextGateway
from notifications.plan import PLANS
from tests.notifications.scenes import letter_of, run

AT_NOON = datetime(2026, 11, 25, 12, 0, tzinfo=UTC)  # a Wednesday
AT_NIGHT = datetime(2026, 11, 25, 23, 10, tzinfo=UTC)
FRIDAY_EVENING = datetime(2026, 11, 27, 20, 30, tzinfo=UTC)


@pytest.fixture
def house(cast):
    cast.workshop.digest_minutes = 20
    cast.workshop.quiet_from, cast.workshop.quiet_until = time(20), time(8)
    cast.workshop.work_days = [0, 1, 2, 3, 4]
    cast.workshop.save()
    return cast.workshop


def due(letter: Letter) -> str:
    return f"{letter.next_attempt_at.astimezone(UTC):%a %d %H:%M}"


def test_news_waits_for_company(cast, house, time_machine):
    time_machine.move_to(AT_NOON, tick=False)
    job = cast.job_at("arrived")
    run()
    assert due(letter_of(job, "arrived")) == "Wed 25 12:20"


def test_what_is_urgent_goes_at_once_even_at_night(cast, house, time_machine):
    time_machine.move_to(AT_NIGHT, tick=False)
    job = cast.book()
    run()
    assert due(letter_of(job, "booked")) == "Wed 25 23:10"


def test_news_of_the_night_goes_in_the_morning(cast, house, time_machine):
    time_machine.move_to(AT_NIGHT, tick=False)
    job = cast.job_at("arrived")
    run()
    assert due(letter_of(job, "arrived")) == "Thu 26 08:00"


def test_it_is_the_customers_morning(cast, house, time_machine):
    time_machine.move_to(AT_NIGHT, tick=False)
    job = cast.book()
    job.customer.time_zone = "America/New_York"
    job.customer.save()
    cast.job_at("arrived", job)
    run()
    assert due(letter_of(job, "arrived")) == "Wed 25 23:30"  # half past six in the evening there


def test_the_weekend_of_the_house_and_holidays_of_both_are_waited_for(cast, house, time_machine):
    time_machine.move_to(FRIDAY_EVENING, tick=False)
    house.closed_days = ["2026-11-30"]
    house.save()
    job = cast.book()
    job.customer.holidays_in = "GB-SCT"
    job.customer.save()
    cast.job_at("arrived", job)
    run()
    assert due(letter_of(job, "arrived")) == "Tue 01 08:00"


def test_a_customers_holiday_at_home_is_waited_for(cast, house, time_machine):
    time_machine.move_to(datetime(2026, 11, 29, 21, 0, tzinfo=UTC), tick=False)
    job = cast.book()
    job.customer.holidays_in = "GB-SCT"  # 30 November, Saint Andrew's Day
    job.customer.save()
    cast.job_at("arrived", job)
    run()
    assert due(letter_of(job, "arrived")) == "Tue 01 08:00"


def test_a_letter_that_follows_another_goes_a_little_behind_it(cast, house, time_machine):
    time_machine.move_to(AT_NIGHT, tick=False)
    job = cast.job_at("examining")
    cast.post_finding(job)
    run()
    assert due(letter_of(job, "arrived")) == "Thu 26 08:00"
    assert due(letter_of(job, "finding_posted")) == "Thu 26 08:01"


def test_news_that_had_to_wait_for_the_end_of_holidays_is_still_news(cast, house, time_machine):
    time_machine.move_to(datetime(2026, 12, 23, 20, 30, tzinfo=UTC), tick=False)
    house.closed_days = [f"2026-12-{day}" for day in range(24, 32)]
    house.holidays_in = "GB"
    house.save()
    job = cast.job_at("arrived")
    run()
    assert due(letter_of(job, "arrived")) == "Mon 04 08:00"
    time_machine.move_to(datetime(2027, 1, 4, 8, 0, tzinfo=UTC))
    from notifications.plan import plan_of, why_not

    letter = letter_of(job, "arrived")
    assert why_not(plan_of(letter), letter.entry) == ""


def test_a_text_waits_for_the_morning_whatever_it_says(cast, house, time_machine):
    """Also on a day off: then it is day, and they asked for it."""
    time_machine.move_to(datetime(2026, 11, 27, 22, 0, tzinfo=UTC), tick=False)
    TextGateway.objects.create(url="https://texts.example.org/", body='{"to": "{to}", "text": "{text}"}')
    job = cast.job_at("examining")
    job.customer.text_to, job.customer.wants_texts = "+441632960142", True
    job.customer.save()
    PushSubscription.objects.create(customer=job.customer, endpoint="https://push.example.org/1")
    cast.send_quote(job)
    run()
    letters = Letter.objects.filter(job=job, kind="quote_sent")
    assert {letter.channel: due(letter) for letter in letters} == {
        "email": "Fri 27 22:00",
        "text": "Sat 28 08:00",
        "push": "Sat 28 08:00",
    }


def test_a_lapsed_quote_is_told_by_day(cast, house, time_machine):
    time_machine.move_to(datetime(2026, 11, 25, 0, 10, tzinfo=UTC), tick=False)
    job = cast.job_at("quoted")
    quote.take_back_quote(job, cast.technician)
    again = quote.send_quote(quote.draft_quote(job), cast.technician)
    time_machine.move_to(datetime(2027, 1, 15, 0, 10, tzinfo=UTC), tick=False)
    quote.lapse(again)
    run()
    assert due(letter_of(job, "quote_lapsed")) == "Fri 15 08:00"


def test_a_house_without_hours_sends_everything_at_once(cast, time_machine):
    time_machine.move_to(AT_NIGHT, tick=False)
    job = cast.job_at("arrived")
    assert len(relay.run().waiting) == 2
    assert due(letter_of(job, "arrived")) == "Wed 25 23:10"


@pytest.mark.django_db
def test_without_a_workshop_the_usual_quiet_hours_hold():
    assert hours.with_company(None, AT_NIGHT) == datetime(2026, 11, 26, 8, 0, tzinfo=UTC)


def test_letters_to_the_workshop_never_wait():
    ours = [plan for plans in PLANS.values() for plan in plans if plan.to_workshop]
    assert ours
    assert all(plan.urgent and not plan.by_day for plan in ours)


def test_what_needs_them_or_opens_something_never_waits_for_company():
    urgent = {plan.letter for plans in PLANS.values() for plan in plans if plan.urgent}
    assert {
        "quote_sent",
        "ready",
        "answered",
        "enquired",
        "code",
        "link_asked",
        "decided",
        "paid",
        "booked",
    } <= urgent
