"""Every component rendered with example data: what must be there for eyes, for screen readers and for strict policies."""

import re
from collections import Counter
from datetime import date, timedelta
from pathlib import Path

import pytest
from django.template import Context, Template
from django.utils import timezone, translation

from portal.templatetags import look
from tests.portal.look import board

SPRITE = Path(__file__).parents[3] / "portal/static/portal/icons.svg"
pytestmark = pytest.mark.filterwarnings(
    "ignore:A {% csrf_token %} was used"
)  # the board is rendered without a request


@pytest.fixture(scope="module")
def pages() -> dict[str, str]:
    with translation.override("en-gb"):
        return board.pages()


def render(source: str, **context: object) -> str:
    return Template("{% load look %}" + source).render(Context(context))


@pytest.mark.parametrize(
    "name", ["customer", "quote", "warranty", "forms", "flash", "marks", "bench", "office"]
)
def test_no_two_things_on_a_page_share_an_id(pages: dict[str, str], name: str) -> None:
    counted = Counter(re.findall(r'\sid="([^"]+)"', pages[name]))
    assert [each for each, times in counted.items() if times > 1] == []


@pytest.mark.parametrize("name", ["customer", "quote", "forms", "bench", "office"])
def test_every_description_points_at_something(pages: dict[str, str], name: str) -> None:
    named = re.findall(r'aria-(?:describedby|labelledby)="([^"]+)"', pages[name])
    wanted = {each for names in named for each in names.split()}
    assert wanted <= set(re.findall(r'\sid="([^"]+)"', pages[name]))


@pytest.mark.parametrize("name", ["customer", "bench"])
def test_every_photograph_keeps_its_place_and_says_what_it_shows(pages: dict[str, str], name: str) -> None:
    photographs = re.findall(r"<img[^>]*>", pages[name])
    assert photographs
    assert all(re.search(r'width="\d+"\s+height="\d+"', each) and 'alt="' in each for each in photographs)


def test_the_first_view_answers_move_next_and_when(pages: dict[str, str]) -> None:
    first = pages["customer"].split('class="ask"')[0]
    places = [first.index(word) for word in ("<h1>", 'class="lede"', "likely by", 'class="act"')]
    assert places == sorted(places)


def test_every_drawing_is_hidden_from_screen_readers_because_words_say_it(pages: dict[str, str]) -> None:
    html = "".join(pages.values())
    outer = re.findall(r"<svg(?![^>]*\sx=)[^>]*>", html)  # an icon inside a drawing is hidden with it
    hidden_by_parent = html.count('class="railed" aria-hidden="true"')
    assert len([each for each in outer if "aria-hidden" not in each]) == hidden_by_parent


def test_what_somebody_typed_is_never_markup(pages: dict[str, str]) -> None:
    assert "It &lt;b&gt;stopped&lt;/b&gt; winding on." in pages["forms"]


def test_a_wrong_field_is_tied_to_its_sentence(pages: dict[str, str]) -> None:
    field = re.search(r'<input[^>]*id="id_item"[^>]*>', pages["forms"])[0]
    assert 'aria-invalid="true"' in field
    assert 'aria-describedby="id_item_helptext id_item_error"' in field


def test_the_error_summary_links_to_each_wrong_field(pages: dict[str, str]) -> None:
    summary = re.search(r'<div class="wrongs".*?</div>', pages["forms"], re.S)[0]
    assert re.findall(r'href="#(\w+)"', summary) == ["id_item", "id_opened", "id_since", "id_terms"]


def test_a_form_without_mistakes_has_no_summary() -> None:
    form = board.Booking()
    assert render('{% include "parts/errors.html" %}', form=form).strip() == ""


def test_a_withdrawn_finding_shows_that_it_was_taken_back(pages: dict[str, str]) -> None:
    article = pages["customer"].split('id="finding-4"')[1].split("</article>")[0]
    assert "We took this back. It is meant to be so." in article
    assert 'class="facts"' not in article


def test_a_corrected_finding_shows_what_it_said_before(pages: dict[str, str]) -> None:
    article = pages["customer"].split('id="finding-1"')[1].split("</article>")[0]
    assert "Until we corrected it" in article
    assert "One of the screws is loose." in article


def test_numbers_in_a_drawing_keep_their_points_where_the_language_has_commas() -> None:
    with translation.override("de"):
        html = board.pages()["customer"]
    assert not re.search(r'(?:cx|cy|x|y|r|viewBox)="[^"]*\d,\d', html)


def test_a_ring_that_is_not_certain_is_broken(pages: dict[str, str]) -> None:
    article = pages["customer"].split('id="finding-2"')[1].split("</article>")[0]
    assert 'class="w dash"' in article


def test_chosen_keys_are_radio_buttons_with_words(pages: dict[str, str]) -> None:
    row = re.search(r'<fieldset class="keys [^>]*>.*?</fieldset>', pages["bench"], re.S)[0]
    assert row.count('type="radio"') == 5
    assert row.count("checked") == 1
    assert "Not till tried" in row


def test_the_reckoning_tells_screen_readers_when_it_changes(pages: dict[str, str]) -> None:
    assert re.search(r'id="reckoning"\s+aria-live="polite"', pages["quote"])
    assert "VAT 20 %, £26.17, is in it." in pages["quote"]


def test_every_word_of_the_trade_has_its_mark() -> None:
    sprite = SPRITE.read_text()
    drawn = set(re.findall(r'id="i-(\w+)"', sprite))
    assert {word for _, words in board.every_mark() for word in words} | {"photo"} == drawn


def test_a_ringed_figure_stands_for_a_mark() -> None:
    assert look.numbered("The screw at (1).") == '<p>The screw at <b class="n">1</b>.</p>'


def test_text_from_people_is_escaped_before_figures_are_ringed() -> None:
    assert look.numbered("<b>(2)</b>") == '<p>&lt;b&gt;<b class="n">2</b>&lt;/b&gt;</p>'


def test_an_amount_is_written_as_the_country_writes_it() -> None:
    assert render('{% money 119850 "GBP" %}') == "£1,198.50"
    assert render("{% money nothing 'GBP' %}", nothing=None) == "–"


def test_a_day_of_this_year_needs_no_year() -> None:
    today = timezone.localdate()
    assert str(today.year) not in look.day_filter(today)
    assert look.day_filter(date(2031, 10, 31)) == "Fri 31 October 2031"


def test_a_day_can_be_read_by_machines() -> None:
    assert look.day_tag(date(2031, 10, 31)) == '<time datetime="2031-10-31">Fri 31 October 2031</time>'


@pytest.mark.parametrize(("days", "words"), [(0, "today"), (1, "1 day"), (19, "19 days"), (-3, "today")])
def test_a_wait_is_counted_in_days(days: int, words: str) -> None:
    assert look.waited(timezone.localdate() - timedelta(days=days)) == words


def test_an_unknown_word_comes_back_as_it_is() -> None:
    assert look.label("nonsense") == "nonsense"


def test_turns_are_named_by_whose_they_were(pages: dict[str, str]) -> None:
    assert re.findall(r"<h3>((?:Yours|Ours|The post)[^<]*)</h3>", pages["customer"]) == [
        "Yours, for 2 days so far",
        "Ours, for 13 days",
        "The post’s, for 3 days",
    ]
