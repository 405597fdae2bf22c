"""Signing from a device that is not known: six figures by letter, and everything kept meanwhile."""

import re
from datetime import timedelta
from uuid import uuid4

import pytest
import time_machine
from django.test import Client
from django.utils import timezone

from jobs.actions import coding, deciding, quote
from jobs.actions.linking import find_link, issue_link, note_opening
from jobs.actions.refusals import Refused
from jobs.models import Code, Decision, Job, Kind, Opening, Quote
from portal.customer import code
from tests.once import made_once
from tests.portal.customer.pages import booking_typed, chosen_in, follow, to, words_of
from tests.portal.customer.quotes import branched, chosen, line, supplement

GEARS, HAZE, GROUP = "Free the winding gears", "Clean the haze from the lens", "Fit a sound rear lens group"


@pytest.fixture
def sent(cast):
    return made_once(branched, cast)


@pytest.fixture
def job(sent):
    return sent.job


def opens(job, client: Client) -> Client:
    """Comes in by a private link that went to the customer, as a browser does."""
    client.get(f"/open/{issue_link(job, made_for=job.customer.email)}")
    return client


@pytest.fixture
def phone(job, sent):
    """The first device that ever opened one of their links."""
    return opens(job, Client())


@pytest.fixture
def strange(job, phone):
    """A device that came in by a link that was passed on."""
    return opens(job, Client())


def figures_of(sent) -> str:
    """Those of the newest letter, which leaves now."""
    return coding.draw_code(Code.objects.filter(quote=sent).latest("pk").pk)


def other_than(figures):
    return f"{(int(figures) + 1) % 1_000_000:06d}"


def beside(page):
    found = re.search(r'<p class="error" id="id_code_error">(.*?)</p>', page)
    return found[1] if found else ""


def test_the_first_device_signs_without_figures(phone, job, sent):
    follow(phone, phone.post(to("my_quote", job), chosen(sent, GEARS)))
    assert Decision.objects.exists()
    assert not Code.objects.exists()


def test_a_strange_device_is_asked_for_figures_and_agrees_nothing_yet(strange, job, sent):
    typed = chosen(sent, GEARS, HAZE, GROUP, "Cloth covering", ceiling="300")
    response = strange.post(to("my_quote", job), typed)
    page = response.text
    assert response.status_code == 200
    assert "a letter with six figures is on its way to the address that we write to" in words_of(page)
    assert "type the six figures from our letter" in words_of(page)
    assert 'inputmode="numeric"' in page
    assert 'autocomplete="one-time-code"' in page
    assert chosen_in(page, "either-1") == str(line(sent, "Cloth covering").pk)
    assert 'value="300"' in page
    assert 'value="Orla Fennimore"' in page
    assert "checked" in re.search(r'<input type="checkbox" name="terms"[^>]*>', page)[0]
    assert not Decision.objects.exists()
    assert job.entries.filter(kind=Kind.CODE_ASKED).count() == 1


def test_the_address_is_not_told_to_whoever_holds_the_link(strange, job, sent):
    assert "orla@example.org" not in strange.post(to("my_quote", job), chosen(sent, GEARS)).text


def test_with_the_right_figures_it_is_agreed_and_the_device_is_theirs(strange, job, sent):
    typed = chosen(sent, GEARS)
    strange.post(to("my_quote", job), typed)
    figures = figures_of(sent)
    follow(strange, strange.post(to("my_quote", job), typed | {"code": f" {figures[:3]} {figures[3:]} "}))
    assert '"code_used":true' in Decision.objects.get().record
    assert Opening.objects.filter(confirmed_at__isnull=False).count() == 1
    assert coding.is_known(job, strange.cookies["device"].value)
    assert job.entries.filter(kind=Kind.CODE_TYPED).count() == 1


def test_a_device_that_once_typed_figures_is_asked_for_none(cast, strange, job, sent):
    strange.post(to("my_quote", job), chosen(sent, GEARS))
    strange.post(to("my_quote", job), chosen(sent, GEARS, code=figures_of(sent)))
    more = supplement(cast, job)
    strange.post(to("my_quote", job), chosen(more, "A rear lens group"))
    assert more.decision
    assert Code.objects.count() == 1


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ("12345", "It is six figures, without letters."),
        ("abcdef", "It is six figures, without letters."),
        ("１２３４５６", "It is six figures, without letters."),
        ("", "Type the six figures from the letter."),
        ("9" * 30, "at most 20"),
    ],
)
def test_what_are_no_six_figures_is_said_there_and_costs_no_try(strange, job, sent, typed, sentence):
    strange.post(to("my_quote", job), chosen(sent, GEARS))
    figures_of(sent)
    response = strange.post(to("my_quote", job), chosen(sent, GEARS, code=typed))
    assert response.status_code == 422
    assert sentence in beside(response.text)
    assert Code.objects.get().tries == 0
    assert not Decision.objects.exists()


def test_wrong_figures_say_how_many_tries_are_left_and_keep_what_was_chosen(strange, job, sent):
    strange.post(to("my_quote", job), chosen(sent, GEARS))
    wrong = other_than(figures_of(sent))
    said = []
    for _ in range(6):
        response = strange.post(to("my_quote", job), chosen(sent, GEARS, "Cloth covering", code=wrong))
        assert response.status_code == 422
        said.append(beside(response.text))
    assert "You can try 4 more times." in said[0]
    assert "You can try once more." in said[3]
    assert "That was the fifth try." in said[4]
    assert "That was the fifth try." in said[5]
    assert chosen_in(response.text, "either-1") == str(line(sent, "Cloth covering").pk)
    assert not Decision.objects.exists()


def test_after_five_tries_the_right_figures_do_not_count_but_those_of_a_new_letter_do(strange, job, sent):
    strange.post(to("my_quote", job), chosen(sent, GEARS))
    right = figures_of(sent)
    for _ in range(5):
        strange.post(to("my_quote", job), chosen(sent, GEARS, code=other_than(right)))
    assert "fifth" in beside(strange.post(to("my_quote", job), chosen(sent, GEARS, code=right)).text)
    again = strange.post(to("my_quote", job), chosen(sent, GEARS, code="", again="1"))
    assert "is on its way" in again.text
    strange.post(to("my_quote", job), chosen(sent, GEARS, code=figures_of(sent)))
    assert Decision.objects.exists()


def test_figures_older_than_half_an_hour_are_not_taken(strange, job, sent):
    strange.post(to("my_quote", job), chosen(sent, GEARS))
    figures = figures_of(sent)
    with time_machine.travel(timezone.now() + timedelta(minutes=31), tick=False):
        response = strange.post(to("my_quote", job), chosen(sent, GEARS, code=figures))
    assert "good for half an hour" in beside(response.text)
    assert not Decision.objects.exists()


def test_figures_before_the_letter_has_left_are_not_taken(strange, job, sent):
    strange.post(to("my_quote", job), chosen(sent, GEARS))
    response = strange.post(to("my_quote", job), chosen(sent, GEARS, code="000000"))
    assert "only just leaving" in beside(response.text)
    assert not Decision.objects.exists()


def test_letters_go_three_times_an_hour_at_most_whatever_the_device(strange, job, sent):
    for _ in range(3):
        assert strange.post(to("my_quote", job), chosen(sent, GEARS, again="1")).status_code == 200
    refused = strange.post(to("my_quote", job), chosen(sent, GEARS, again="1"))
    assert refused.status_code == 429
    assert "We have sent three such letters within the hour." in beside(refused.text)
    third = opens(job, Client())
    assert third.post(to("my_quote", job), chosen(sent, GEARS)).status_code == 429
    assert Code.objects.count() == 3


def test_nor_more_than_ten_a_day_or_guessing_would_get_somewhere(strange, job, sent):
    begun = timezone.now()
    for hour in range(5):
        with time_machine.travel(begun.replace(hour=2, minute=5) + timedelta(hours=2 * hour), tick=False):
            for _ in range(3):
                last = strange.post(to("my_quote", job), chosen(sent, GEARS, again="1"))
    assert last.status_code == 429
    assert "ten such letters within a day" in beside(last.text)
    assert Code.objects.count() == 10


def test_a_page_that_was_loaded_again_asks_for_no_second_letter(strange, job, sent):
    strange.post(to("my_quote", job), chosen(sent, GEARS))
    figures_of(sent)
    response = strange.post(to("my_quote", job), chosen(sent, GEARS))
    assert "A letter with six figures went to the address" in response.text
    assert Code.objects.count() == 1


def test_figures_that_were_read_out_to_another_device_do_not_help_it(strange, job, sent):
    strange.post(to("my_quote", job), chosen(sent, GEARS))
    figures = figures_of(sent)
    third = opens(job, Client())
    response = third.post(to("my_quote", job), chosen(sent, GEARS, code=figures))
    assert response.status_code == 200  # a letter of its own goes out
    assert not Decision.objects.exists()


def test_what_is_wrong_with_the_answer_is_said_before_any_letter(strange, job, sent):
    response = strange.post(to("my_quote", job), chosen(sent, "Test film", name=""))
    assert response.status_code == 422
    assert not Code.objects.exists()


def test_a_quote_that_is_not_the_one_that_stands_sends_no_letter(strange, job, sent):
    assert strange.post(to("my_quote", job), chosen(sent, GEARS, shown_hash="0" * 64)).status_code == 409
    assert not Code.objects.exists()


def test_a_quote_replaced_between_letter_and_figures_agrees_nothing(cast, strange, job, sent):
    strange.post(to("my_quote", job), chosen(sent, GEARS))
    figures = figures_of(sent)
    quote.send_quote(quote.draft_quote(job), cast.technician)
    assert strange.post(to("my_quote", job), chosen(sent, GEARS, code=figures)).status_code == 409
    assert not Decision.objects.exists()


def test_above_the_workshops_sum_the_first_device_needs_figures_too(cast, phone, job, sent):
    cast.workshop.code_above = 20_000
    cast.workshop.save()
    dear = chosen(sent, GEARS, HAZE, GROUP)
    assert "six figures" in phone.post(to("my_quote", job), dear).text
    assert not Decision.objects.exists()
    phone.post(to("my_quote", job), dear | {"code": figures_of(sent)})
    assert Decision.objects.get().highest == 21_300


def test_below_it_none(cast, phone, job, sent):
    cast.workshop.code_above = 20_000
    cast.workshop.save()
    phone.post(to("my_quote", job), chosen(sent, GEARS))
    assert Decision.objects.exists()


def test_a_workshop_that_wants_none_gets_none(cast, strange, job, sent):
    cast.workshop.code_for_new_devices = False
    cast.workshop.save()
    strange.post(to("my_quote", job), chosen(sent, GEARS))
    assert Decision.objects.exists()


def test_a_device_with_a_made_up_number_is_given_one_and_is_no_other(strange, job, sent, phone):
    strange.cookies["device"] = "1 or 1=1"
    strange.post(to("my_quote", job), chosen(sent, GEARS))
    assert not Decision.objects.exists()
    given = strange.cookies["device"].value
    assert Code.objects.get().device == given
    assert given != phone.cookies["device"].value


def test_who_knows_only_the_number_of_the_first_device_needs_their_link_too(job, sent, phone):
    stranger = Client()
    stranger.cookies["device"] = phone.cookies["device"].value
    assert stranger.post(to("my_quote", job), chosen(sent, GEARS)).status_code == 403


def test_the_browser_that_booked_it_is_known(cast):
    browser = Client()
    browser.post("/book/", booking_typed())
    job = Job.objects.latest("pk")
    device = browser.cookies["device"].value
    assert Opening.objects.get(link__job=job).device == device
    assert coding.is_known(job, device)
    note_opening(find_link(issue_link(job, "orla@example.org")), str(uuid4()))
    assert coding.is_known(job, device)


def test_saying_no_to_one_thing_more_from_a_strange_device_needs_figures_as_well(
    cast, phone, strange, job, sent
):
    phone.post(to("my_quote", job), chosen(sent, GEARS))
    more = supplement(cast, job)
    no = chosen(more, nothing="1")
    assert "six figures" in strange.post(to("my_quote", job), no).text
    more.refresh_from_db()
    assert more.state == "open"
    strange.post(to("my_quote", job), no | {"code": figures_of(more)})
    more.refresh_from_db()
    assert more.state == "answered"


@pytest.mark.both
def test_the_second_of_two_taps_is_told_that_it_is_agreed(cast, strange, job, sent, monkeypatch):
    def overtaken(request, job, quote, form, this):
        """The other tap has used the figures up and agreed, while this one waited for it."""
        cast.agree(Quote.objects.get(pk=quote.pk))
        return code.Held(422)

    monkeypatch.setattr(code, "check", overtaken)
    response = strange.post(to("my_quote", job), chosen(sent, GEARS))
    assert "This quote has its answer already." in follow(strange, response)
    assert Decision.objects.count() == 1


def test_figures_are_not_used_up_by_an_answer_that_was_refused(strange, job, sent, monkeypatch):
    strange.post(to("my_quote", job), chosen(sent, GEARS))
    figures = figures_of(sent)

    def refuse(*_args):
        raise Refused("Not now.")

    with monkeypatch.context() as patched:
        patched.setattr(deciding, "decide", refuse)
        response = strange.post(to("my_quote", job), chosen(sent, GEARS, code=figures))
    assert response.status_code == 422
    assert "Not now." in response.text
    strange.post(to("my_quote", job), chosen(sent, GEARS, code=figures))
    assert Decision.objects.exists()
