"""Before you post it: a look from outside is offered once, and its answer books or does not.

Which story is offered which look is the library's matter and tested there; here a story that an entry has word for word is offered it.
The browser's journey (tests/journeys) asks the library itself.
"""

import re
import threading

import pytest
from django.db import connection
from django.test import Client
from django.urls import reverse

from jobs.library.offering import can_offer
from jobs.models import Customer, Job, Kind, Photo, SettledAtHome
from portal.customer import checking
from portal.customer.kinds import NEVER, TRAITS, may_have
from tests import made_up
from tests.portal.customer.pages import booking_typed, chosen_in, follow, jpeg, to, words_of

BOOK = "/book/"
KEY, OTHER = "handling/lantern-left-lit", "handling/bell-left-wound"
STORY = "The little lantern on the top glows all night and the camera hums"


def keep_entry(key: str, ask: str, notice: str = STORY) -> None:
    made_up.keep(key, ask=ask, notice=notice)


def word_for_word(story, traits, entries):
    return [entry for entry in entries.values() if can_offer(entry) and story in entry.front.notice][:2]


@pytest.fixture(autouse=True)
def workshop(cast, monkeypatch):
    monkeypatch.setattr(checking, "offers", word_for_word)
    keep_entry(KEY, "Is the lantern still lit?")
    return cast


def typed(**changed: object) -> dict[str, object]:
    return booking_typed(**{"story": STORY, "kind": "unsure", **changed})


def answered(answer: str, **changed: object) -> dict[str, object]:
    return typed(**{"offered": KEY, "look-1": answer, **changed})


def test_a_story_that_an_owner_can_look_into_is_not_booked_at_once(nobody):
    response = nobody.post(BOOK, typed())
    words = words_of(response.text)
    assert response.status_code == 200
    assert "Before you post it" in words
    assert "Is the lantern still lit?" in words
    assert not Job.objects.exists()


def test_the_look_has_its_drawing_and_its_steps_and_markup_in_it_is_only_words(nobody):
    page = nobody.post(BOOK, typed()).text
    assert '<figure class="drawn"><svg' in page
    assert "Look at the lantern from the front." in page
    assert "Turn it &lt;b&gt;left&lt;/b&gt;" in page


def test_the_form_stays_complete(nobody):
    sent = typed()
    page = nobody.post(BOOK, sent).text
    assert all(str(sent[name]) in page for name in ("story", "serial", "name", "email", "once"))
    assert "3 Quay Lane" in page
    assert chosen_in(page, "opened_before") == "no"


def test_photographs_are_kept_through_the_look_and_go_with_the_job(nobody):
    page = nobody.post(BOOK, typed(photos=[jpeg("front.jpg")])).text
    assert "front.jpg" in page
    nobody.post(BOOK, answered("same"))
    assert Job.objects.get().photos.count() == 1


def test_while_photographs_are_added_the_look_stays(nobody):
    page = nobody.post(BOOK, answered("", do="photos", photos=[jpeg("front.jpg")])).text
    assert "Is the lantern still lit?" in page
    assert "front.jpg" in page


def test_another_story_is_booked_without_a_look(nobody):
    nobody.post(BOOK, booking_typed())
    assert Job.objects.get().looked_at == []


def test_a_form_with_a_mistake_is_mended_before_anything_is_offered(nobody):
    response = nobody.post(BOOK, typed(name=""))
    assert response.status_code == 422
    assert "Before you post it" not in response.text


def test_that_was_it_books_nothing_and_thanks(nobody):
    page = words_of(follow(nobody, nobody.post(BOOK, answered("settled"))))
    assert "Nothing is booked" in page
    assert "It was only switched on." in page
    assert (Job.objects.count(), Customer.objects.count()) == (0, 0)


def test_the_thanks_lead_to_the_explanation(nobody):
    assert f'href="/library/{KEY}/"' in follow(nobody, nobody.post(BOOK, answered("settled")))


def test_that_was_it_is_counted_and_nothing_personal_is_kept(nobody):
    nobody.post(BOOK, answered("settled", photos=[jpeg("front.jpg")]))
    assert SettledAtHome.objects.values_list("key", "kind").get() == (KEY, "unsure")
    assert not Photo.objects.exists()
    assert "orla" not in str(dict(nobody.session)).lower()


def test_that_was_it_pressed_twice_is_counted_once(nobody):
    sent = answered("settled")
    assert [nobody.post(BOOK, sent)["Location"] for _ in range(2)] == ["/settled/"] * 2
    assert SettledAtHome.objects.count() == 1


def test_still_the_same_books_with_the_answer(nobody):
    assert nobody.post(BOOK, answered("same"))["Location"] == "/booked/"
    job = Job.objects.get()
    looked = [{"key": KEY, "asked": "Is the lantern still lit?", "answer": "same"}]
    assert job.looked_at == looked
    assert job.entries.get(kind=Kind.BOOKED).data["looked_at"] == looked
    assert not SettledAtHome.objects.exists()


def test_who_would_rather_not_try_is_booked_all_the_same(nobody):
    nobody.post(BOOK, answered("not_tried"))
    assert [each["answer"] for each in Job.objects.get().looked_at] == ["not_tried"]


def test_still_the_same_pressed_twice_books_once(nobody):
    sent = answered("same")
    assert [nobody.post(BOOK, sent)["Location"] for _ in range(2)] == ["/booked/"] * 2
    assert Job.objects.count() == 1


@pytest.mark.both
@pytest.mark.django_db(transaction=True)
@pytest.mark.parametrize("answer", ["same", "settled"])
def test_two_presses_at_the_same_moment_act_once(workshop, answer):
    browser = Client()
    browser.get(BOOK)
    sent, codes = answered(answer), []

    def tap():
        tapping = Client()
        tapping.cookies = browser.cookies
        codes.append(tapping.post(BOOK, sent).status_code)
        connection.close()

    taps = [threading.Thread(target=tap) for _ in range(2)]
    [each.start() for each in taps]
    [each.join() for each in taps]
    assert codes == [303, 303]
    assert Job.objects.count() + SettledAtHome.objects.count() == 1


def test_who_settled_it_and_comes_back_to_the_page_may_still_book(nobody):
    sent = answered("settled")
    nobody.post(BOOK, sent)
    nobody.post(BOOK, sent | {"look-1": "same"})
    assert Job.objects.count() == 1


def test_without_an_answer_the_page_asks_for_one_and_changes_nothing(nobody):
    response = nobody.post(BOOK, typed(offered=KEY))
    assert response.status_code == 422
    assert "“I would rather not try” is fine." in response.text
    assert 'href="#id_look-1"' in response.text
    assert not Job.objects.exists()


def test_a_made_up_answer_changes_nothing(nobody):
    assert nobody.post(BOOK, answered("perhaps")).status_code == 422
    assert Job.objects.count() + SettledAtHome.objects.count() == 0


@pytest.mark.parametrize("key", ["lens/haze-inside", "no/such", "", "<b>"])
def test_a_look_that_the_library_does_not_have_is_not_believed(nobody, key):
    response = nobody.post(BOOK, answered("settled", offered=key))
    assert response.status_code == 200
    assert "Is the lantern still lit?" in response.text
    assert not SettledAtHome.objects.exists()


def test_a_mistake_made_on_the_page_of_the_look_is_named_and_the_look_stays(nobody):
    response = nobody.post(BOOK, answered("same", email="orla at example"))
    assert response.status_code == 422
    assert "This does not look like an e-mail address." in response.text
    assert '<details id="told" open>' in response.text
    assert chosen_in(response.text, "look-1") == "same"


def test_a_changed_story_is_not_asked_about_once_more(nobody):
    keep_entry(OTHER, "Is the bell wound?", "A bell rings whenever I carry the camera")
    nobody.post(BOOK, answered("same", story="A bell rings whenever I carry the camera"))
    assert Job.objects.count() == 1


def test_two_looks_are_answered_each(nobody):
    keep_entry(OTHER, "Is the bell wound?")
    page = words_of(nobody.post(BOOK, typed()).text)
    assert "A look from outside, 2 of 2" in page
    nobody.post(BOOK, typed(**{"offered": [KEY, OTHER], "look-1": "same", "look-2": "not_tried"}))
    assert [each["answer"] for each in Job.objects.get().looked_at] == ["same", "not_tried"]


def test_two_looks_with_the_same_drawing_share_no_id(nobody):
    keep_entry(OTHER, "Is the bell wound?")
    ids = re.findall(r'\sid="([^"]+)"', nobody.post(BOOK, typed()).text)
    assert sorted(ids) == sorted(set(ids))


def test_of_two_looks_one_may_settle_it(nobody):
    keep_entry(OTHER, "Is the bell wound?")
    nobody.post(BOOK, typed(**{"offered": [KEY, OTHER], "look-1": "same", "look-2": "settled"}))
    assert SettledAtHome.objects.get().key == OTHER
    assert not Job.objects.exists()


def test_that_was_it_counts_towards_the_limit_of_a_network(nobody):
    for _ in range(10):
        nobody.post(BOOK, answered("settled"))
    response = nobody.post(BOOK, answered("settled"))
    assert response.status_code == 429
    assert "Many bookings came from your network" in response.text
    assert SettledAtHome.objects.count() == 10


def test_looking_at_pages_settles_and_books_nothing(nobody):
    nobody.get(BOOK, answered("settled"))
    assert nobody.get("/settled/")["Location"] == "/"
    assert Job.objects.count() + SettledAtHome.objects.count() == 0


def test_the_customer_reads_on_their_page_what_they_looked_at(cast, nobody):
    nobody.post(BOOK, answered("same"))
    page = words_of(nobody.get(to("my", Job.objects.get())).text)
    assert "Is the lantern still lit? Still the same." in page


def test_the_bench_reads_beside_the_story_what_was_looked_at(cast, nobody, as_staff):
    nobody.post(BOOK, answered("same"))
    page = as_staff(cast.technician_user).get(reverse("bench_job", args=[Job.objects.get().ref])).text
    assert "Looked at before posting" in page
    assert "Is the lantern still lit? Still the same." in words_of(page)


def test_a_kind_never_rules_out_what_it_makes_certain():
    assert {kind: set(TRAITS[kind]) & set(NEVER[kind]) for kind in TRAITS} == {kind: set() for kind in TRAITS}


def test_a_kind_that_says_nothing_rules_nothing_out():
    assert may_have("unsure") == may_have("part") == []
    assert "rewind_button" in may_have("rangefinder")
    assert "reflex" not in may_have("folder")


def test_a_fault_in_the_search_stops_nobody_from_booking(nobody, monkeypatch, caplog):
    def broken(*asked):
        raise RuntimeError("the index is broken")

    monkeypatch.setattr(checking, "offers", broken)
    follow(nobody, nobody.post(BOOK, typed()))
    assert Job.objects.count() == 1
    assert "no look could be offered" in caplog.text
