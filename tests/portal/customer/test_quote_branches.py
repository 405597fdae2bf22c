"""A quote with tries, alternatives, lines that need others, "up to" prices and a ceiling."""

import hashlib
import re
from types import SimpleNamespace

import pytest

from jobs.actions import trying
from jobs.answer_paper import chance_words as paper_words
from jobs.evidence import content, reckon_answer, sheet
from jobs.models import Choice, Decision, Kind, Paper
from jobs.quoting import Amount
from jobs.trying import Way, spread
from jobs.words import Stage, TaxMode
from portal.customer.quote_sums import chance_words
from portal.customer.quote_tries import often, share_words
from tests.once import made_once
from tests.portal.customer.pages import HTMX, chosen_in, follow, to, words_of
from tests.portal.customer.quotes import branched, chosen, line, way, with_branches

GEARS, HAZE, GROUP = "Free the winding gears", "Clean the haze from the lens", "Fit a sound rear lens group"
TIMES, FILM = "Clean and set the slow times", "Test film"


@pytest.fixture
def sent(cast):
    return made_once(branched, cast)


@pytest.fixture
def job(sent):
    return sent.job


@pytest.fixture
def visitor(as_customer, job, sent):
    return as_customer(job)


def sums(visitor, job, typed):
    return words_of(visitor.post(to("my_total", job), typed, headers=HTMX).text)


# --- how it reads -----------------------------------------------------------------------------------------------------


def test_a_line_by_time_says_its_minutes_and_the_price_of_an_hour(visitor, job):
    assert f"{GEARS} £85 85 minutes at £60 an hour" in words_of(visitor.get(to("my_quote", job)).text)


def test_an_up_to_price_says_the_most_and_the_least(visitor, job):
    words = words_of(visitor.get(to("my_quote", job)).text)
    assert f"{TIMES} up to £60 It comes to at least £25." in words
    assert "Fixed prices, and “up to” prices:" in words


def test_a_tax_rate_that_is_not_the_usual_one_is_named_on_its_line(visitor, job):
    page = visitor.get(to("my_quote", job)).text
    assert "A printed manual £9 VAT 5 %." in words_of(page)
    assert page.count("VAT 20 %") == 1


def test_a_line_that_needs_another_says_which(visitor, job):
    assert f"Only together with: {TIMES}." in words_of(visitor.get(to("my_quote", job)).text)


def test_the_fork_says_in_words_what_it_draws(visitor, job):
    words = words_of(visitor.get(to("my_quote", job)).text)
    assert "It wipes off 14 of the last 20 Nothing more to pay." in words
    assert "The glass has gone 6 of the last 20 Then we do what you choose below." in words
    assert "%" not in words[words.index("First we try") : words.index("Advised")]


def test_each_branch_has_its_price_and_stopping_is_chosen_beforehand(visitor, job, sent):
    page = visitor.get(to("my_quote", job)).text
    assert "Leave it, refit the lens £0 Fit a sound rear lens group + £78 Stop and ask me" in words_of(page)
    assert chosen_in(page, f"turn-{way(sent, 'The glass has gone').pk}") == "ask"


@pytest.mark.parametrize(
    ("seen", "said"),
    [
        ((14, 6), ["14 of the last 20", "6 of the last 20"]),
        ((5, 0), ["5 of the last 5", "0 of the last 5"]),
        ((3, 1), ["usually", "less often"]),
        ((0, 0), ["usually", "less often"]),
    ],
)
def test_shares_are_counted_only_where_enough_was_seen(seen, said):
    turns = [{"weight": weight, "seen": n} for weight, n in zip((14, 6), seen, strict=True)]
    assert share_words(turns) == said


@pytest.mark.parametrize(
    ("share", "said"),
    [(0.99, "usually"), (0.5, "about as often as not"), (0.2, "less often"), (0.05, "seldom")],
)
def test_a_guess_is_said_without_a_number(share, said):
    assert often(share) == said


def test_of_alternatives_one_question_is_asked_and_none_chosen_beforehand(visitor, job):
    page = visitor.get(to("my_quote", job)).text
    assert page.count("Choose one of these") == 1
    assert chosen_in(page, "either-1") == "none"
    words = words_of(page)
    assert "Cloth covering £42" in words
    assert "Leather covering £78" in words
    assert "None of these" in words


def test_where_nothing_can_be_chosen_it_says_what_could_be(cast, as_staff, job, sent):
    words = words_of(as_staff(cast.technician_user).get(to("my_quote", job)).text)
    offered = "Leave it, refit the lens £0; Fit a sound rear lens group + £78; Stop and ask me."
    assert f"The glass has gone 6 of the last 20 Then one of these, as chosen: {offered}" in words


# --- what it comes to -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "yes",
    [[GEARS], [GEARS, HAZE], [GEARS, HAZE, GROUP], [TIMES], [HAZE, TIMES, FILM, "Leather covering", GROUP]],
)
def test_the_figures_on_the_page_are_those_of_the_evidence(visitor, job, sent, yes):
    ids = [line(sent, title).pk for title in yes]
    worth = reckon_answer(sent, sheet(sent), ids)
    said = sums(visitor, job, chosen(sent, *yes))
    if worth.is_open:
        assert f"lowest £{worth.lowest // 100}" in said
        assert f"highest £{worth.highest // 100}" in said
        assert f"£{worth.lowest // 100} to £{worth.highest // 100}" in said
    else:
        assert f"Together £{worth.lowest // 100}" in said


def test_an_agreed_branch_shows_lowest_expected_and_highest_and_says_what_expected_means(visitor, job, sent):
    said = sums(visitor, job, chosen(sent, GEARS, HAZE, GROUP))
    assert "lowest £135 expected £158.40 highest £213" in said
    assert "If a hundred cameras like yours came, they would cost £158.40 each on average." in said
    assert "Together, before what may follow £135" in said


def test_up_to_alone_expects_nothing_and_says_least_and_most(visitor, job, sent):
    said = sums(visitor, job, chosen(sent, TIMES))
    assert "expected" not in said
    assert "It comes to £37 at the least and £72 at the most, by what the work takes." in said


def test_up_to_alone_tells_no_chance_of_a_ceiling_and_neither_does_the_copy(visitor, job, sent):
    said = sums(visitor, job, chosen(sent, TIMES, ceiling="50"))
    assert "If what the work takes would go past your ceiling, we stop and ask." in said
    assert "of them stay under" not in said
    assert paper_words(reckon_answer(sent, sheet(sent), [line(sent, TIMES).pk]), 5000) == ""


@pytest.mark.parametrize("gone", range(1, 12))
def test_page_and_copy_tell_the_same_chance(gone):
    """17 in 20 is 8.5 in 10: one way of rounding, and not up."""
    ways = [Way(20 - gone), Way(gone, (Amount(7800),))]
    spread_out = spread([Amount(10000)], [ways], TaxMode.NONE)
    on_page = re.search(r"About \d in 10", chance_words(spread_out, 12000))
    in_copy = paper_words(SimpleNamespace(spread=spread_out, highest=spread_out.highest), 12000)
    assert on_page is None or on_page[0].lower() == in_copy
    assert gone != 3 or in_copy == "about 8 in 10"


@pytest.mark.parametrize(
    ("ceiling", "said"),
    [
        ("180", "About 7 in 10 stay under your ceiling. Otherwise we stop and ask."),
        ("213", "Nothing that you agree to here can take it past your ceiling."),
        ("£1,000", "Nothing that you agree to here can take it past your ceiling."),
        ("134.99", "It comes to £135 at the least. Set it no lower."),
    ],
)
def test_a_ceiling_is_answered_at_once(visitor, job, sent, ceiling, said):
    assert said in sums(visitor, job, chosen(sent, GEARS, HAZE, GROUP, ceiling=ceiling))


@pytest.mark.parametrize(
    ("typed", "wrong"),
    [
        ("two hundred", "That is not an amount of money."),
        ("-5", "An amount cannot be less than nothing."),
        ("99999999999", "That is more than any repair costs."),
    ],
)
def test_a_ceiling_that_cannot_be_read_says_so_at_once_and_is_left_out_of_the_figures(
    visitor, job, sent, typed, wrong
):
    said = sums(visitor, job, chosen(sent, GEARS, HAZE, GROUP, ceiling=typed))
    assert f"Your ceiling: {wrong}" in said
    assert "Something does not fit yet" in said
    assert "lowest £135 expected £158.40 highest £213" in said
    assert "highest £213 ceiling" not in said


def test_a_ceiling_is_asked_for_only_where_something_is_open(cast, as_customer, visitor, job):
    assert "Your ceiling" in visitor.get(to("my_quote", job)).text
    plain = cast.job_at(Stage.QUOTED, cast.another_book())
    page = as_customer(plain).get(to("my_quote", plain)).text
    assert "Your ceiling" not in page
    assert "my ceiling" not in page


def test_a_credited_examination_is_a_row_that_is_taken_off(cast, as_customer):
    cast.workshop.credits_assessment = True
    cast.workshop.save()
    job = cast.job_at(Stage.EXAMINING)
    from jobs.actions import quote

    draft = quote.draft_quote(job)
    quote.put_line(draft, quote.LineDraft("work", "needed", "Free the gears", 8500))
    quote.put_line(draft, quote.LineDraft("assessment", "needed", "Examination", 2500))
    quote.send_quote(draft, cast.technician)
    words = words_of(as_customer(job).get(to("my_quote", job)).text)
    assert "Examination £25 Examination, taken off again −£25 Together £85" in words
    assert "Examination £25 Taken off again when you say yes to work that costs as much or more." in words


def test_added_tax_of_two_rates_stands_in_two_rows(cast, as_customer):
    cast.workshop.tax_mode = "added"
    cast.workshop.save()
    job = cast.job_at(Stage.EXAMINING)
    sent = with_branches(cast, job)
    said = sums(as_customer(job), job, chosen(sent, GEARS, "A printed manual"))
    assert "VAT 20 % £19.40 VAT 5 % £0.45 Together £125.85" in said


def test_a_line_that_needs_another_says_so_at_once(visitor, job, sent):
    said = sums(visitor, job, chosen(sent, FILM))
    assert f"“{FILM}” needs “{TIMES}” as well. Say yes to both, or no to this one." in said
    assert "Something does not fit yet" in said


def test_no_to_a_line_forgets_what_should_follow_it(visitor, job, sent):
    assert "Together £97" in sums(visitor, job, chosen(sent, GEARS, GROUP))


# --- what is kept -----------------------------------------------------------------------------------------------------


def agreed(sent):
    return set(Choice.objects.filter(decision__quote=sent, yes=True).values_list("line__title", flat=True))


def test_lines_branches_alternatives_and_ceiling_are_kept_as_they_were_chosen(visitor, job, sent):
    typed = chosen(sent, GEARS, HAZE, GROUP, "Cloth covering", ceiling="260")
    follow(visitor, visitor.post(to("my_quote", job), typed))
    assert agreed(sent) == {GEARS, HAZE, GROUP, "Cloth covering", "Insured post home"}
    decision = Decision.objects.get()
    assert (decision.lowest, decision.highest, decision.ceiling) == (17700, 25500, 26000)


def test_without_a_ceiling_none_is_kept(visitor, job, sent):
    visitor.post(to("my_quote", job), chosen(sent, GEARS, HAZE, ceiling=""))
    assert Decision.objects.get().ceiling is None


def test_stop_and_ask_agrees_to_no_branch(visitor, job, sent):
    visitor.post(to("my_quote", job), chosen(sent, GEARS, HAZE))
    decision = Decision.objects.get()
    assert decision.lowest == decision.highest == 13500
    assert GROUP not in agreed(sent)


def test_the_evidence_has_the_button_the_page_and_the_session_as_a_digest(visitor, job, sent):
    key = visitor.session.session_key
    visitor.post(to("my_quote", job), chosen(sent, GEARS, HAZE, GROUP, ceiling="260"))
    record = Decision.objects.get().record
    paper = Paper.objects.get(kind="page")
    assert '"button":"Agree to the work and to pay for it"' in record
    assert hashlib.sha256(key.encode()).hexdigest() in record
    assert key not in record
    assert paper.sha256 in record
    assert hashlib.sha256(bytes(paper.body)).hexdigest() == paper.sha256


def test_the_page_that_is_kept_shows_what_was_chosen_and_nothing_of_the_session(visitor, job, sent):
    visitor.post(to("my_quote", job), chosen(sent, GEARS, HAZE, GROUP, "Leather covering", ceiling="300"))
    page = bytes(Paper.objects.get(kind="page").body).decode()
    words = words_of(page)
    assert chosen_in(page, f"line-{line(sent, GEARS).pk}") == "yes"
    assert chosen_in(page, "either-1") == str(line(sent, "Leather covering").pk)
    assert chosen_in(page, f"turn-{way(sent, 'The glass has gone').pk}") == str(line(sent, GROUP).pk)
    assert "lowest £213 expected £236.40 highest £291 ceiling £300" in words
    for kept in Decision.objects.get().sentence.splitlines():
        assert kept in words
    for secret in ("csrfmiddlewaretoken", "<script", 'name="once"', visitor.session.session_key):
        assert secret not in page


def test_a_kept_page_is_the_page_that_was_shown(visitor, job, sent):
    """Line by line: what stood between the heading and the signature is the same in both."""
    shown = visitor.get(to("my_quote", job)).text
    typed = chosen(sent, GEARS, HAZE)
    visitor.post(to("my_quote", job), typed)
    kept = bytes(Paper.objects.get(kind="page").body).decode()
    for legend in re.findall(r'<span class="what">(.*?)</span>', shown):
        assert legend in kept
    assert words_of(re.search(r'<dl class="dates.*?</dl>', shown, re.S)[0]) in words_of(kept)


def test_the_answered_page_says_what_was_chosen_for_each_turn(visitor, job, sent):
    visitor.post(to("my_quote", job), chosen(sent, GEARS, HAZE, GROUP, "Cloth covering", ceiling="260"))
    words = words_of(visitor.get(to("my_quote", job)).text)
    assert (
        "The glass has gone 6 of the last 20 Then, as you chose: Fit a sound rear lens group + £78" in words
    )
    assert "The ceiling: £260. If something would take it past that, we stop and ask." in words


def test_the_answered_page_says_where_we_stop_and_ask(visitor, job, sent):
    visitor.post(to("my_quote", job), chosen(sent, GEARS, HAZE))
    assert "The glass has gone 6 of the last 20 Then we stop and ask you." in words_of(
        visitor.get(to("my_quote", job)).text
    )


def test_the_customers_page_says_how_far_it_may_go(visitor, job, sent):
    visitor.post(to("my_quote", job), chosen(sent, GEARS, HAZE, GROUP, ceiling="260"))
    words = words_of(visitor.get(to("my", job)).text)
    assert "for £135, or up to £213 with what may follow:" in words
    assert "If need be: Fit a sound rear lens group, £78" in words
    assert "Your ceiling is £260." in words


def test_the_customers_page_never_names_more_than_their_ceiling(visitor, job, sent):
    visitor.post(to("my_quote", job), chosen(sent, GEARS, HAZE, GROUP, ceiling="180"))
    words = words_of(visitor.get(to("my", job)).text)
    assert "for £135, or up to £180 with what may follow:" in words
    assert "£213" not in words


def test_an_account_says_that_up_to_prices_stand_in_it_in_full_until_the_work_is_done(
    visitor, cast, job, sent
):
    visitor.post(to("my_quote", job), chosen(sent, GEARS, TIMES))
    in_full = "“Up to” prices stand here in full."
    assert in_full in words_of(visitor.get(to("my", job)).text)
    job.refresh_from_db()
    trying.note_final_price(line(sent, TIMES), 4000, cast.technician)
    assert in_full not in words_of(visitor.get(to("my", job)).text)


def test_an_average_says_what_it_rests_on(visitor, job, sent):
    said = sums(visitor, job, chosen(sent, GEARS, HAZE, GROUP, TIMES))
    assert "“Up to” prices are counted in full here." in said
    assert "is our estimate" not in said
    assert "counted in full" not in sums(visitor, job, chosen(sent, GEARS, HAZE, GROUP))


def test_chances_that_nobody_has_counted_are_called_an_estimate(cast, as_customer, job):
    sent = with_branches(cast, job, seen=(1, 0))
    said = sums(as_customer(job), job, chosen(sent, GEARS, HAZE, GROUP))
    assert "How often each way comes is our estimate; we have not yet counted enough of them." in said
    assert "counted in full" not in said


# --- what cannot be ---------------------------------------------------------------------------------------------------


def test_asking_for_a_line_without_what_it_needs_says_so_there_and_keeps_everything(visitor, job, sent):
    typed = chosen(sent, GEARS, HAZE, GROUP, FILM, "Cloth covering", ceiling="300")
    response = visitor.post(to("my_quote", job), typed)
    assert response.status_code == 422
    page = response.text
    field = page[page.index(f'id="line-{line(sent, FILM).pk}"') :]
    assert "needs “Clean and set the slow times” as well." in words_of(field[: field.index("</fieldset>")])
    assert chosen_in(page, f"line-{line(sent, FILM).pk}") == "yes"
    assert chosen_in(page, "either-1") == str(line(sent, "Cloth covering").pk)
    assert chosen_in(page, f"turn-{way(sent, 'The glass has gone').pk}") == str(line(sent, GROUP).pk)
    assert 'value="300"' in page
    assert 'value="Orla Fennimore"' in page
    assert not Decision.objects.exists()


BAD_CEILINGS = {
    "-5": "An amount cannot be less than nothing.",
    "99999999999": "That is more than any repair costs.",
    "1e3": "That is not an amount of money.",
    "€200": "Amounts are in GBP here.",
    "200.005": "at most 2 places",
    "10": "It comes to £135 at the least.",
    "0": "It comes to £135 at the least.",
}


@pytest.mark.parametrize(("ceiling", "sentence"), BAD_CEILINGS.items())
def test_a_bad_ceiling_is_said_next_to_it_and_agrees_nothing(visitor, job, sent, ceiling, sentence):
    response = visitor.post(to("my_quote", job), chosen(sent, GEARS, HAZE, ceiling=ceiling))
    assert response.status_code == 422
    beside = re.search(r'<p class="error" id="id_ceiling_error">(.*?)</p>', response.text)[1]
    assert sentence in beside
    assert f'value="{ceiling}"' in response.text
    assert not Decision.objects.exists()


def foreign(cast):
    """A branch of somebody else's quote."""
    other = cast.job_at(Stage.EXAMINING, cast.another_book())
    return line(with_branches(cast, other), GROUP).pk


@pytest.mark.parametrize(
    "change",
    [
        lambda sent, other: {f"turn-{way(sent, 'The glass has gone').pk}": str(other)},
        lambda sent, other: {f"turn-{way(sent, 'The glass has gone').pk}": str(line(sent, GEARS).pk)},
        lambda sent, other: {"either-1": str(other)},
        lambda sent, other: {"either-1": str(line(sent, GEARS).pk)},
        lambda sent, other: {"either-1": ""},
        lambda sent, other: {"either-7": "1"},
        lambda sent, other: {f"line-{other}": "yes"},
        lambda sent, other: {"line-999999": "yes"},
        lambda sent, other: {f"line-{line(sent, GROUP).pk}": "yes"},
        lambda sent, other: {f"line-{line(sent, 'Insured post home').pk}": "no"},
        lambda sent, other: {f"line-{line(sent, GEARS).pk}": "perhaps"},
        lambda sent, other: {"turn-0": "ask"},
    ],
)
def test_what_this_quote_does_not_offer_agrees_nothing(cast, visitor, job, sent, change):
    typed = chosen(sent, GEARS, HAZE) | change(sent, foreign(cast))
    response = visitor.post(to("my_quote", job), typed)
    assert response.status_code == 422
    assert 'class="wrongs"' in response.text
    assert not Decision.objects.exists()
    assert not job.entries.filter(kind=Kind.DECIDED).exists()
    total = visitor.post(to("my_total", job), typed, headers=HTMX)
    assert total.status_code == 200


def test_a_form_that_is_sent_again_agrees_once_and_keeps_one_page(visitor, job, sent):
    typed = chosen(sent, GEARS, HAZE, GROUP)
    visitor.post(to("my_quote", job), typed)
    again = visitor.post(to("my_quote", job), chosen(sent, GEARS))
    assert "This quote has its answer already." in follow(visitor, again)
    assert Decision.objects.get().highest == 21300
    assert Paper.objects.filter(kind="page").count() == 1


def test_working_it_out_without_scripts_keeps_branches_and_ceiling(visitor, job, sent):
    response = visitor.post(to("my_total", job), chosen(sent, GEARS, HAZE, GROUP, ceiling="300"))
    assert chosen_in(response.text, f"turn-{way(sent, 'The glass has gone').pk}") == str(line(sent, GROUP).pk)
    assert "ceiling £300" in words_of(response.text)
    assert 'value="300"' in response.text


def test_what_is_written_on_a_line_is_never_markup(cast, as_customer, job):
    from jobs.actions import quote

    draft = quote.draft_quote(job)
    outcomes = [
        quote.OutcomeDraft("<i>a</i>", 1),
        quote.OutcomeDraft("<u>b</u>", 1, follow_ons=[quote.LineDraft("work", "needed", "<s>c</s>", 100)]),
    ]
    quote.put_line(draft, quote.LineDraft("work", "needed", "<b>x</b>", 100, outcomes=outcomes))
    sent = quote.send_quote(draft, cast.technician)
    visitor = as_customer(job)
    visitor_page = visitor.get(to("my_quote", job)).text
    visitor.post(to("my_quote", job), chosen(sent, "<b>x</b>", "<s>c</s>"))
    kept = bytes(Paper.objects.get(kind="page").body).decode()
    for page in (visitor_page, kept, visitor.get(to("my_quote", job)).text):
        assert not re.search(r"<i>a|<u>b|<s>c|<b>x", page)


def test_what_is_needed_but_needs_more_is_not_chosen_beforehand(cast, as_customer, job):
    from jobs.actions import quote

    draft = quote.draft_quote(job)
    extra = quote.put_line(draft, quote.LineDraft("work", "optional", "Open the lens", 3000))
    quote.put_line(draft, quote.LineDraft("work", "needed", "Clean it", 2000, requires=[extra]))
    sent = quote.send_quote(draft, cast.technician)
    page = as_customer(job).get(to("my_quote", job)).text
    assert chosen_in(page, f"line-{line(sent, 'Clean it').pk}") == "no"
    assert "as well. Say yes to both" not in page


def test_the_form_is_about_exactly_what_was_shown(visitor, job, sent):
    page = visitor.get(to("my_quote", job)).text
    for told in content(sent)["lines"]:
        assert told["title"] in page
