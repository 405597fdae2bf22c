"""By which ways somebody is told: the mail first, a text or a notice beside it, and the next way when one is dead."""

import pytest
from django.db import transaction
from django.utils import timezone
from hypothesis import HealthCheck, given
from hypothesis import settings as hypothesis_settings
from hypothesis import strategies as st

from jobs import journal
from jobs.actions import asking, working
from jobs.actor import HOUSE, Actor
from jobs.models import Entry, Kind
from jobs.words import Way
from notifications import letters, relay, ways
from notifications.models import DeadAddress, Letter, PushSubscription, TextGateway
from notifications.plan import PLANS, plans_for
from tests.notifications.scenes import letter_of, run


def plan_named(letter: str):
    return next(plan for plans in PLANS.values() for plan in plans if plan.letter == letter)


@pytest.fixture
def gateway(cast):
    return TextGateway.objects.create(
        url="https://texts.example.org/", body='{"to": "{to}", "text": "{text}"}'
    )


@pytest.fixture
def orla(cast, gateway):
    """A customer who asked for texts and for notices."""
    person = cast.book().customer
    person.text_to, person.wants_texts = "+441632960142", True
    person.save()
    PushSubscription.objects.create(customer=person, endpoint="https://push.example.org/1")
    return person


def dead(way: str, address: str) -> None:
    DeadAddress.objects.create(way=way, address=address, why="bounced")


def test_what_waits_for_them_goes_by_mail_and_beside_it_as_they_asked(orla):
    assert ways.ways_for(orla, plan_named("quote_sent")) == [Way.EMAIL, Way.TEXT, Way.PUSH]


@pytest.mark.parametrize(
    "kind", ["arrived", "finding_posted", "paid", "decided", "warranty", "code", "link_asked"]
)
def test_everything_else_goes_by_mail_alone(orla, kind):
    assert ways.ways_for(orla, plan_named(kind)) == [Way.EMAIL]


def test_who_asked_for_nothing_gets_the_mail_alone(orla):
    orla.wants_texts = False
    orla.subscriptions.all().delete()
    assert ways.ways_for(orla, plan_named("quote_sent")) == [Way.EMAIL]


def test_without_a_gateway_there_are_no_texts(orla, gateway):
    gateway.delete()
    assert ways.ways_for(orla, plan_named("quote_sent")) == [Way.EMAIL, Way.PUSH]


def test_a_dead_mailbox_turns_to_the_text_and_a_dead_number_to_the_notice(orla):
    dead("email", "orla@example.org")
    assert ways.ways_for(orla, plan_named("paid")) == [Way.TEXT]
    dead("text", "+441632960142")
    assert ways.ways_for(orla, plan_named("paid")) == [Way.PUSH]


def test_the_address_of_a_dead_mailbox_is_known_however_it_is_written(orla):
    dead("email", "orla@example.org")
    orla.email = "Orla@Example.org"
    assert ways.address_for(orla, Way.EMAIL) == ""


def test_progress_never_goes_by_text_but_may_show_on_a_device_that_asked(orla):
    dead("email", "orla@example.org")
    assert ways.ways_for(orla, plan_named("arrived")) == [Way.PUSH]
    orla.subscriptions.all().delete()
    assert ways.ways_for(orla, plan_named("arrived")) == []


def test_a_code_and_a_link_go_by_mail_or_not_at_all(orla):
    dead("email", "orla@example.org")
    for kind in ("code", "link_asked"):
        assert ways.ways_for(orla, plan_named(kind)) == []


def test_a_reminder_goes_by_the_way_that_its_step_names(orla):
    assert ways.ways_for(orla, plan_named("nudged"), "text") == [Way.TEXT]
    orla.wants_texts = False
    assert ways.ways_for(orla, plan_named("nudged"), "text") == [Way.EMAIL]


def test_the_workshop_is_written_to_by_mail(cast):
    assert ways.ways_for(None, plan_named("staff_asked")) == [Way.EMAIL]
    cast.workshop.email = ""
    cast.workshop.save()
    assert ways.ways_for(None, plan_named("staff_asked")) == []


def test_each_way_has_a_letter_of_its_own(cast, orla):
    job = cast.job_at("quoted", orla.jobs.get())
    run()
    letters = Letter.objects.filter(job=job, kind="quote_sent").order_by("channel")
    assert [(letter.channel, letter.to_address, letter.state) for letter in letters] == [
        ("email", "orla@example.org", "waiting"),
        ("push", ways.DEVICES, "waiting"),
        ("text", "+441632960142", "waiting"),
    ]


def test_nobody_to_reach_by_any_way_shows_in_the_office_as_a_failed_letter(cast):
    job = cast.book()
    dead("email", "orla@example.org")
    cast.job_at("arrived", job)
    run()
    letter = letter_of(job, "booked")
    assert (letter.state, letter.last_error) == ("failed", "An earlier letter to orla@example.org came back.")
    assert letter in Letter.objects.troubled()
    assert letter_of(job, "arrived").state == "skipped"


def test_letters_to_the_workshop_go_also_where_its_address_came_back_as_a_customers(cast):
    dead("email", cast.workshop.email.lower())
    job = cast.job_at("in_work")
    asking.ask(job, "When?", Actor.customer(job.customer), "once-1")
    run()
    assert letter_of(job, "staff_asked").state == "waiting"


def test_a_refused_address_turns_to_the_next_way_once(cast, orla):
    run()
    letter = letter_of(orla.jobs.get(), "booked")
    Letter.objects.filter(pk=letter.pk).update(state="failed")
    turned = ways.turn_to_next(letter)
    assert (turned.channel, turned.entry, turned.state) == ("text", letter.entry, "waiting")
    assert ways.turn_to_next(letter) is None
    assert Letter.objects.filter(entry=letter.entry).count() == 2


def test_a_failed_text_turns_to_the_notice_and_then_nothing_is_left(cast, orla):
    run()
    letter = letter_of(orla.jobs.get(), "booked")
    Letter.objects.filter(pk=letter.pk).update(state="failed")
    text = ways.turn_to_next(letter)
    Letter.objects.filter(pk=text.pk).update(state="failed")
    notice = ways.turn_to_next(text)
    assert notice.channel == "push"
    Letter.objects.filter(pk=notice.pk).update(state="failed")
    assert ways.next_way(notice) is None


def test_who_was_told_beside_the_mail_is_not_told_again(cast, orla):
    job = cast.job_at("quoted", orla.jobs.get())
    run()
    mail = Letter.objects.get(job=job, kind="quote_sent", channel="email")
    Letter.objects.filter(pk=mail.pk).update(state="returned")
    Letter.objects.filter(job=job, channel="push").update(state="failed")
    assert ways.next_way(mail) is None  # the text is on its way


def test_what_a_lost_letter_carried_goes_by_the_same_message(cast, orla):
    job = cast.job_at("ready", orla.jobs.get())
    run()
    cast.send_back(job)
    working.deliver(job, cast.technician)
    run()
    carrier = letter_of(job, "sent_back")
    carried = letter_of(job, "warranty")
    Letter.objects.filter(pk=carried.pk).update(state="carried", carried_by=carrier)
    Letter.objects.filter(pk=carrier.pk).update(state="failed")
    text = ways.turn_to_next(carrier)
    along = Letter.objects.get(entry=carried.entry, channel="text")
    assert (along.state, along.carried_by) == ("carried", text)


def test_what_still_waits_for_a_dead_address_takes_the_next_way(cast, orla):
    run()
    waiting = letter_of(orla.jobs.get(), "booked")
    dead("email", "orla@example.org")
    [turned] = ways.leave(Way.EMAIL, "Orla@example.org")
    waiting.refresh_from_db()
    assert (waiting.state, turned.channel) == ("failed", "text")
    assert ways.leave(Way.EMAIL, "orla@example.org") == []


def test_sending_again_by_hand_uses_the_address_of_its_own_way(cast, orla):
    job = cast.job_at("quoted", orla.jobs.get())
    run()
    text = Letter.objects.get(job=job, channel="text")
    Letter.objects.filter(pk=text.pk).update(state="failed")
    orla.text_to = "+441632960143"
    orla.save()
    letters.resend(text)
    assert text.to_address == "+441632960143"


# --- the promise: at most once by each way, and at least once by some --------------------------------------------------

OPEN = st.booleans()
KINDS = st.sampled_from([Kind.LINK_ASKED, Kind.WITHDRAWN, Kind.PART_AWAITED, Kind.NOT_CONTENT])


@hypothesis_settings(max_examples=40, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(data=st.data())
def test_everybody_is_told_at_most_once_by_each_way_and_what_they_need_by_one_at_least(cast, data):
    """Whatever is open, dead or dies on the way; letters fail at random and each failure turns to the next way."""
    with transaction.atomic():
        person = _somebody(cast, data)
        _things_happen(person.jobs.get(), data)
        _deliver_all(data)
        _check(person)
        transaction.set_rollback(True)


def _somebody(cast, data):
    person = cast.book().customer
    person.text_to = "+441632960142"
    person.wants_texts, person.wants_progress = data.draw(OPEN), data.draw(OPEN)
    person.save()
    if data.draw(OPEN, label="gateway"):
        TextGateway.objects.create(url="https://texts.example.org/", body="{text}")
    if data.draw(OPEN, label="device"):
        PushSubscription.objects.create(customer=person, endpoint="https://push.example.org/1")
    for way, address in (("email", person.email), ("text", person.text_to)):
        if data.draw(OPEN, label=f"{way} is dead"):
            dead(way, address)
    return person


def _things_happen(job, data) -> None:
    told = {"because": "", "cost": 0, "currency": "GBP", "part": "Fork", "expected_on": None}
    for kind in data.draw(st.lists(KINDS, min_size=1, max_size=3)):
        journal.append(job, kind, HOUSE, told)
    relay.run()


def _deliver_all(data) -> None:
    """Deliver until nothing waits; each letter arrives, fails, or comes back."""
    while letter := Letter.objects.filter(state="waiting", person__isnull=False).first():
        state = data.draw(st.sampled_from(["sent", "failed", "returned"]))
        Letter.objects.filter(pk=letter.pk).update(state=state, sent_at=timezone.now())
        if state != "sent":
            ways.turn_to_next(letter)


def _check(person) -> None:
    for entry in Entry.objects.filter(job__customer=person):
        plans = {plan.letter: plan for plan in plans_for(entry) if not plan.to_workshop}
        rows = list(Letter.objects.filter(entry=entry, person=person))
        assert len({row.channel for row in rows}) == len(rows)
        if not rows:
            assert not plans
            continue
        plan = plans[rows[0].kind]
        untried = {way for way in ways.ORDER if ways.address_for(person, way)} - {row.channel for row in rows}
        reached = any(row.state == "sent" for row in rows)
        unwanted = any(row.why for row in rows)
        if plan.essential and not plan.by_mail_only and not unwanted:
            assert reached or not untried, [row.state for row in rows]
        if not plan.essential:
            assert not any(row.channel == "text" for row in rows)
