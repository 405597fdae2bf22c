"""The letter with a quote says how each line is meant, and what a supplementary one leaves untouched."""

import re

from jobs.accounts import account
from jobs.actions import quote
from jobs.money import show
from jobs.quoting import Tax
from notifications import chasing, relay
from notifications.models import Letter
from tests.notifications.scenes import letter_of


def send(cast, job, *lines, **sending):
    draft = quote.draft_quote(job)
    for line in lines:
        quote.put_line(draft, line)
    return quote.send_quote(draft, cast.technician, sending=quote.Sending(**sending))


def written(job):
    relay.run()
    return " ".join(letter_of(job, "quote_sent").text.split())


def test_a_limit_an_alternative_and_a_try_are_called_that(cast):
    ways = (quote.OutcomeDraft("It wipes off", 14), quote.OutcomeDraft("It stays", 6))
    job = cast.job_at("examining")
    send(
        cast,
        job,
        quote.LineDraft("work", "needed", "Clean the haze", 3800, outcomes=ways),
        quote.LineDraft("work", "advised", "Set the slow times", 6000, up_to=True, least=4000),
        quote.LineDraft("work", "optional", "Clean the screen", 1800, either=1),
        quote.LineDraft("part", "optional", "A brighter screen", 4600, either=1),
    )
    text = written(job)
    assert "Clean the haze (Needed, tried first)" in text
    assert "up to £60" in text
    assert "A brighter screen (If you like, one of several)" in text
    # needed: the haze; everything: 38 + 60 + the dearer screen
    assert "£144" in text


def test_the_deposit_is_said_before_anything_is_agreed(cast):
    job = cast.job_at("examining")
    send(cast, job, quote.LineDraft("work", "needed", "Free the gears", 8500), deposit=3000)
    assert "we ask for £30 of it before the work begins" in written(job)


def test_one_thing_more_says_that_the_rest_goes_on(cast):
    job = cast.job_at("in_work")
    relay.run()
    send(cast, job, quote.LineDraft("work", "needed", "Seal the curtain", 2800))
    relay.run()
    text = " ".join(Letter.objects.filter(job=job, kind="quote_sent").latest("pk").text.split())
    assert "goes on" in text
    assert "£28" in text


def test_the_copy_of_one_thing_more_says_what_all_comes_to(cast):
    job = cast.job_at("in_work")
    before = account(job).agreed
    sent = send(cast, job, quote.LineDraft("work", "needed", "Seal the curtain", 2800))
    cast.agree(sent, [sent.lines.get().pk])
    relay.run()
    text = " ".join(Letter.objects.filter(job=job, kind="decided").latest("pk").text.split())
    assert f"All that you agreed comes to {show(before + 2800, 'GBP')} so far." in text


def test_a_nudge_about_one_thing_more_does_not_say_that_nothing_is_done(cast):
    job = cast.job_at("in_work")
    send(cast, job, quote.LineDraft("work", "needed", "Seal the curtain", 2800))
    chasing.nudge(job, cast.owner)
    relay.run()
    text = " ".join(letter_of(job, "nudged").text.split())
    assert "What you agreed before goes on meanwhile" in text
    assert "Nothing is done before" not in text
    assert "It is your move" not in text


def test_what_comes_with_one_thing_more_is_not_counted_where_nothing_of_it_is_needed(cast):
    """As on the page: a no costs nothing, not even the post of a part."""
    job = cast.job_at("in_work")
    relay.run()
    courier = quote.LineDraft("carriage", "needed", "A part by courier", 900)
    send(cast, job, quote.LineDraft("work", "optional", "Polish the cover", 1500), courier)
    relay.run()
    text = " ".join(Letter.objects.filter(job=job, kind="quote_sent").latest("pk").text.split())
    assert re.search(r"What we call needed [ .]*£0 ", text)


def test_tax_is_named_where_only_one_line_has_a_rate(cast):
    cast.workshop.tax_mode, cast.workshop.tax_rate_bp = "included", 0
    cast.workshop.save()
    job = cast.job_at("examining")
    line = quote.LineDraft("work", "needed", "Free the gears", 8500, tax=Tax("S", 2000))
    send(cast, job, line)
    assert "VAT" in written(job)


def test_the_dates_of_what_is_collected_are_those_of_collecting(cast):
    job = cast.job_at("quoted", return_by="collect")
    relay.run()
    letter = letter_of(job, "quote_sent")
    for words in (letter.text, letter.html):
        assert "It is likely ready to collect by" in " ".join(words.split())
        assert "back with you" not in words
