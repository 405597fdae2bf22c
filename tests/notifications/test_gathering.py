"""One letter, not five: what waits for the same person about the same job goes together, once, whatever happens meanwhile."""

import email
import re
import threading
from datetime import timedelta
from email import policy

import pytest
from django.db import OperationalError, connection
from django.utils import timezone

from jobs.actions import finding, promising, quote, trying, working
from jobs.actions.contact import want_progress
from notifications import claiming, deliver, gathering, letters, render, writing
from notifications.models import Letter
from tests.cast import make_cast
from tests.notifications.scenes import add_photo, letter_of, run
from tests.once import made_once

State = Letter.State


def news(cast, job=None):
    """A job with three letters that wait for each other: it arrived, two findings."""
    job = cast.job_at("examining", job)
    run()
    Letter.objects.filter(kind="booked").update(state="sent", sent_at=timezone.now())
    for title in ("A screw lay among the gears", "The <covering> has lifted"):
        cast.post_finding(job, title)
        run()
    return job


def waiting(job) -> list[Letter]:
    return list(Letter.objects.filter(job=job, state="waiting").order_by("pk"))


def send(letter: Letter) -> Letter:
    """As if its time had come."""
    Letter.objects.filter(pk=letter.pk, next_attempt_at__isnull=False).update(next_attempt_at=timezone.now())
    deliver.deliver(letter.pk)
    letter.refresh_from_db()
    return letter


def received(sink) -> list:
    return [email.message_from_bytes(raw, policy=policy.default) for raw in sink.letters]


def words(mail) -> str:
    return " ".join(mail.get_body(("plain",)).get_content().split())


@pytest.fixture
def three(cast, mail_to_sink):
    return waiting(made_once(news, cast))


def test_three_pieces_of_news_are_one_letter(three, mail_to_sink):
    send(three[0])
    assert len(mail_to_sink.letters) == 1
    assert [letter.state for letter in Letter.objects.filter(pk__in=[each.pk for each in three])] == [
        "sent",
        "carried",
        "carried",
    ]


def test_it_tells_all_of_it_in_order_with_one_greeting_one_button_and_one_foot(three, mail_to_sink):
    send(three[0])
    [mail] = received(mail_to_sink)
    text, html = words(mail), mail.get_body(("html",)).get_content()
    told = ["is here and safe", "A screw lay among the gears", "The <covering> has lifted"]
    assert [text.index(each) for each in told] == sorted(text.index(each) for each in told)
    assert text.count("Dear Orla,") == html.count("Dear Orla,") == 1
    assert len(re.findall(r'href="[^"]*/open/', html)) == 1
    assert text.count("We always send") + text.count("This letter is news only") == 1
    assert "The &lt;covering&gt; has lifted" in html


def test_nothing_is_said_twice_or_is_out_of_date_a_line_later(three, mail_to_sink):
    send(three[0])
    text = words(received(mail_to_sink)[0])
    assert text.count("We go on looking.") == 1
    assert "Next we examine it." not in text


def test_its_subject_says_what_is_newest_and_that_there_is_more(three, mail_to_sink):
    send(three[0])
    [mail] = received(mail_to_sink)
    ref = three[0].job.shown_ref
    assert mail["Subject"] == f"Your Corvane Skerry: something we found, and more news ({ref})"


def test_two_pieces_of_news_are_both_named_in_the_subject(cast, mail_to_sink):
    job = cast.job_at("examining")
    run()
    cast.post_finding(job)
    run()
    send(letter_of(job, "arrived"))
    [mail] = received(mail_to_sink)
    assert mail["Subject"].startswith("Your Corvane Skerry: it arrived safely; something we found (")


def test_it_goes_under_the_first_ones_message_id_and_the_others_lead_there(three, mail_to_sink):
    carrier = send(three[0])
    [mail] = received(mail_to_sink)
    assert mail["Message-ID"] == carrier.message_id
    assert {letter.carried_by for letter in Letter.objects.filter(state="carried")} == {carrier}


def test_what_was_carried_is_not_sent_again(three, mail_to_sink):
    send(three[0])
    for letter in three[1:]:
        assert deliver.deliver(letter.pk) == ""
    assert len(mail_to_sink.letters) == 1


def test_what_went_inside_another_counts_as_told(three, mail_to_sink):
    send(three[0])
    assert set(Letter.objects.gone().filter(pk__in=[letter.pk for letter in three])) == set(three)


def test_a_finding_after_that_letter_stands_on_the_page(three, cast, mail_to_sink):
    send(three[0])
    cast.post_finding(three[0].job, "The seals are gone")
    run()
    assert Letter.objects.latest("pk").state == "skipped"


def test_an_urgent_letter_goes_alone_and_what_it_makes_stale_falls_away(three, cast, mail_to_sink):
    job = three[0].job
    cast.send_quote(job)
    run()
    send(letter_of(job, "quote_sent"))
    assert [letter.state for letter in Letter.objects.filter(pk__in=[each.pk for each in three])] == [
        "waiting"
    ] * 3
    for letter in three:
        send(letter)
    assert {letter.why for letter in three} == {"The quote tells more by now."}
    assert len(mail_to_sink.letters) == 1


def test_a_letter_that_is_no_longer_wanted_is_left_out_of_the_company(three, cast, mail_to_sink):
    wrong = three[1].job.findings.get(title="A screw lay among the gears")
    finding.withdraw_finding(wrong, "It was a shadow.", cast.technician)
    run()
    send(three[0])
    three[1].refresh_from_db()
    assert (three[1].state, three[1].why) == ("skipped", "The finding was taken back.")
    text = words(received(mail_to_sink)[0])
    assert "News from the bench. A screw lay" not in text
    assert "We take back what we wrote" in text


def test_who_wants_no_progress_any_more_gets_nothing_of_it(three, mail_to_sink):
    want_progress(three[0].person, False)
    assert send(three[0]).state == "skipped"
    assert {each.state for each in waiting(three[0].job)} <= {"waiting"}
    assert mail_to_sink.letters == []


def test_others_jobs_and_other_people_are_left_alone(three, cast, mail_to_sink):
    elsewhere = news(cast, cast.another_book())
    send(three[0])
    assert len(waiting(elsewhere)) == 3


def test_a_letter_that_the_office_sends_by_hand_goes_alone(three, mail_to_sink):
    letters.resend(three[1])
    send(three[0])
    assert send(three[1]).state == "sent"
    assert len(mail_to_sink.letters) == 2


def test_a_carrier_that_did_not_get_through_goes_again_as_one_with_what_came_meanwhile(
    three, cast, mail_to_sink
):
    mail_to_sink.behave("4xx", spells=1)
    carrier = send(three[0])
    assert carrier.state == "waiting"
    cast.post_finding(carrier.job, "The seals are gone")
    run()
    assert send(carrier).state == "sent"
    text = words(received(mail_to_sink)[-1])
    assert "Four pieces of news" in text
    assert "The seals are gone" in text
    assert Letter.objects.filter(carried_by=carrier, state="carried").count() == 3


def test_a_carrier_that_is_no_longer_wanted_lets_the_others_go(cast, mail_to_sink):
    job = cast.job_at("agreed")
    working.await_part(job, "Rewind fork", cast.technician)
    run()
    promising.promise(
        job, timezone.localdate() + timedelta(9), timezone.localdate() + timedelta(19), cast.technician
    )
    run()
    carrier, other = letter_of(job, "part_awaited"), Letter.objects.filter(kind="promised").latest("pk")
    mail_to_sink.behave("4xx", spells=1)
    send(carrier)
    other.refresh_from_db()
    assert other.state == "carried"
    working.start_work(job, cast.technician)
    assert send(carrier).state == "skipped"
    other.refresh_from_db()
    assert other.state == "waiting"
    assert send(other).state == "sent"
    assert "We wait for a part" not in words(received(mail_to_sink)[-1])


def test_a_carrier_that_may_have_arrived_is_repeated_word_for_word(three, cast, mail_to_sink):
    mail_to_sink.behave("drop", spells=1)
    carrier = send(three[0])
    assert carrier.state == "ambiguous"
    want_progress(carrier.person, False)
    assert send(carrier).state == "sent"
    first, second = received(mail_to_sink)
    assert first["Message-ID"] == second["Message-ID"]
    link = re.compile(r"/open/\S+|/letters-off/\S+")
    assert link.sub("", words(first)) == link.sub("", words(second))


def test_a_try_that_is_taken_back_before_anybody_read_of_it_is_told_to_nobody(cast, mail_to_sink):
    job = cast.job_at("examining")
    draft = quote.draft_quote(job)
    ways = (quote.OutcomeDraft("It wipes off", 14), quote.OutcomeDraft("The glass has gone", 6))
    quote.put_line(draft, quote.LineDraft("work", "needed", "Clean the haze", 3800, outcomes=ways))
    sent = quote.send_quote(draft, cast.technician)
    cast.agree(sent)
    working.start_work(job, cast.technician)
    line = sent.lines.get()
    trying.note_outcome(line, line.outcomes.get(title="The glass has gone"), cast.technician)
    run()
    trying.undo_outcome(line, "Another camera’s", cast.technician)
    run()
    for kind in ("tried", "try_undone"):
        assert send(letter_of(job, kind)).state == "skipped"


def test_the_letter_is_news_only_if_all_of_it_is(three, cast, mail_to_sink):
    send(three[0])
    [mail] = received(mail_to_sink)
    assert mail["List-Unsubscribe"]
    job = cast.job_at("ready", cast.another_book())
    run()
    cast.send_back(job)
    working.deliver(job, cast.technician)
    run()
    Letter.objects.filter(job=job, urgent=True).update(state="sent")
    carrier = send(letter_of(job, "sent_back"))
    assert carrier.carries.filter(kind="warranty").exists()
    last = received(mail_to_sink)[-1]
    assert last["List-Unsubscribe"] is None
    assert "We always send" in words(last)


def test_what_a_carried_letter_encloses_goes_with_it(cast, mail_to_sink):
    job = cast.job_at("ready")
    run()
    cast.send_back(job)
    working.deliver(job, cast.technician)
    run()
    send(letter_of(job, "sent_back"))
    [card] = received(mail_to_sink)[-1].iter_attachments()
    assert card.get_content_type() == "application/pdf"


def test_photographs_go_along_as_long_as_they_are_small_together(cast, mail_to_sink):
    job = cast.job_at("examining")
    add_photo(job, "arrival", colours=6)
    run()
    for number, colours in enumerate((7, 80)):
        kept = finding.keep(job, finding.Draft("transport", "seen", "explains", "stops", f"Thing {number}"))
        add_photo(job, "finding", kept, colours=colours)
        finding.post(kept, cast.technician)
        run()
    carrier = send(letter_of(job, "arrived"))
    [mail] = received(mail_to_sink)
    pictures = [part for part in mail.walk() if part.get_content_type() == "image/jpeg"]
    assert 1 <= len(pictures) < 3
    shown = re.findall(r'src="cid:([^"]+)"', mail.get_body(("html",)).get_content())
    assert [picture["Content-ID"].strip("<>") for picture in pictures] == shown
    assert sum(len(picture.get_content()) for picture in pictures) <= gathering.PICTURES_TOGETHER
    assert carrier.carries.count() == 2


@pytest.mark.parametrize("sentence", ["It is worn. ", "それは古い。"])
def test_a_gathered_letter_stays_below_the_size_at_which_it_is_cut_off_and_the_rest_waits(
    cast, mail_to_sink, sentence
):
    job = cast.job_at("examining")
    for number in range(16):
        cast.post_finding(job, f"Finding number {number}", text=(sentence * 660)[:3900])
        run()
    Letter.objects.filter(kind="booked").update(state="sent")
    carrier = send(letter_of(job, "arrived"))
    assert 50_000 < len(carrier.html.encode()) < 102_000
    left = waiting(job)
    assert left
    assert carrier.carries.count() + len(left) == 16
    assert send(left[0]).state == "skipped"  # the others stand on the page: a letter about findings went out


def test_a_section_that_cannot_be_written_lets_each_go_alone(three, mail_to_sink, monkeypatch):
    monkeypatch.setattr(render, "gathered", lambda *_: 1 / 0)
    assert send(three[0]).state == "sent"
    assert [letter.state for letter in waiting(three[0].job)] == ["waiting", "waiting"]


def test_rows_that_could_not_be_written_leave_the_letter_as_it_was_too(three, mail_to_sink, monkeypatch):
    """Otherwise it would tell what the others, who still wait, tell again."""

    def full(_letter):
        raise OperationalError("database or disk is full")

    monkeypatch.setattr(writing, "thread", full)
    assert send(three[0]).state == "sent"
    assert "A screw lay among the gears" not in words(received(mail_to_sink)[0])
    assert len(waiting(three[0].job)) == 2


def test_letters_that_one_worker_claimed_in_one_stroke_still_go_together(three, mail_to_sink):
    deliver.deliver_due()
    assert len([mail for mail in received(mail_to_sink) if mail["To"].addresses[0].username == "orla"]) == 1


@pytest.mark.parametrize("point", ["taken", "written", "handed"])
def test_a_worker_killed_at_any_point_loses_and_doubles_nothing(three, mail_to_sink, monkeypatch, point):
    class Killed(BaseException):
        """What SIGKILL looks like from inside."""

    def die(*_given, **_more):
        raise Killed

    with monkeypatch.context() as dying:
        if point == "taken":
            dying.setattr(render, "gathered", die)
        if point == "written":
            dying.setattr(deliver, "_no_longer_wanted", die)
        if point == "handed":
            dying.setattr(deliver, "_note_handing", die)
        with pytest.raises(Killed):
            deliver.deliver(three[0].pk)
    Letter.objects.filter(state="sending").update(lease_until=timezone.now())
    deliver.free_the_stranded()
    Letter.objects.filter(next_attempt_at__isnull=False).update(next_attempt_at=timezone.now())
    for letter in three:
        send(letter)
    assert len(mail_to_sink.letters) == 1
    assert "Three pieces of news" in words(received(mail_to_sink)[0])


@pytest.mark.django_db(transaction=True)
def test_two_workers_at_once_tell_each_piece_of_news_once(mail_to_sink):
    job = news(make_cast())
    start = threading.Barrier(3)

    def work(letter_id: int) -> None:
        start.wait()
        try:
            deliver.deliver(letter_id)
        finally:
            connection.close()

    threads = [threading.Thread(target=work, args=[letter.pk]) for letter in waiting(job)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    texts = [words(mail) for mail in received(mail_to_sink)]
    for told in ("is here and safe", "A screw lay among the gears", "has lifted"):
        assert sum(told in text for text in texts) == 1
    assert not waiting(job)


@pytest.mark.django_db(transaction=True)
def test_two_workers_that_take_each_other_end_with_every_letter_told_once():
    """Each has claimed a letter; neither can take the other's, and both take from what is left."""
    job = news(make_cast())
    Letter.objects.filter(state="waiting").update(next_attempt_at=timezone.now())
    first, second, third = waiting(job)
    mine, theirs = claiming.claim(first.pk), claiming.claim(second.pk)
    assert gathering.gather(mine)
    assert gathering.gather(theirs)
    third.refresh_from_db()
    assert third.carried_by == mine
    assert [letter.state for letter in Letter.objects.filter(pk__in=[first.pk, second.pk])] == ["sending"] * 2


def test_what_is_carried_stays_inside_when_an_earlier_one_does_not_fit(three, mail_to_sink):
    """The earlier one came late, because it waited for its photograph."""
    carrier, late, carried = three
    Letter.objects.filter(pk=carried.pk).update(state="carried", carried_by=carrier, next_attempt_at=None)
    Letter.objects.filter(pk=late.pk).update(html="x" * gathering.LARGEST)
    send(carrier)
    assert "The <covering> has lifted" in words(received(mail_to_sink)[0])
    assert Letter.objects.get(pk=late.pk).state == "waiting"


def test_who_leaves_progress_out_while_it_sets_out_still_gets_what_it_carried_and_they_need(
    three, mail_to_sink, monkeypatch
):
    """The wish comes between the gathering and the last look."""
    carrier, needed, _other = three
    gather = gathering.gather

    def then_they_leave_it_out(letter):
        gathered = gather(letter)
        want_progress(letter.job.customer, False)
        return gathered

    monkeypatch.setattr(gathering, "gather", then_they_leave_it_out)
    assert send(carrier).state == "skipped"
    needed.refresh_from_db()
    assert (needed.state, needed.carried_by) == ("waiting", None)
    assert not Letter.objects.filter(state="carried").exists()
    assert mail_to_sink.letters == []
