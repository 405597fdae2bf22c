"""At the bench: what came out of a try, what follows, and what an "up to" line came to."""

import pytest
from django.http import HttpResponse
from django.test import Client
from django.urls import reverse

from jobs.actions import quote, working
from jobs.models import FinalPrice, Job, Line, Tried
from jobs.words import Stage
from portal.bench.steps import next_step
from tests.cast import Cast
from tests.jobs.actions.test_trying import in_work, parts, send_try
from tests.portal.bench.lines import add, error_at, page_of
from tests.portal.bench.test_steps import seen

pytestmark = pytest.mark.usefixtures("contexts")


def page(browser: Client, job: Job) -> str:
    return page_of(browser.get(reverse("bench_job", args=[job.ref])))


def press(browser: Client, line: Line, words: str) -> HttpResponse:
    """Press what came out, and look at the page that follows."""
    outcome = line.outcomes.get(title=words)
    address = reverse("bench_tried", args=[line.quote.job.ref, line.pk])
    return browser.post(address, {"outcome": outcome.pk}, follow=True)


def test_each_way_is_one_press_and_says_where_it_leads(jory: Client, cast: Cast) -> None:
    line = in_work(cast, send_try(cast), branch=True)
    shown = page(jory, line.quote.job).split('id="tries"')[1]
    assert shown.index("It wipes off") < shown.index("Nothing more to do.")
    assert shown.index("The glass has gone") < shown.index("Go on: Fit a sound lens group, £78.")


def test_the_branch_that_was_agreed_is_said_at_once(jory: Client, cast: Cast) -> None:
    line = in_work(cast, send_try(cast), branch=True)
    answer = press(jory, line, "The glass has gone")
    assert "Go on: Fit a sound lens group, £78 was agreed." in page_of(answer)
    assert Tried.objects.get().then == "goes_on"
    assert 'id="tries"' not in page_of(answer)
    assert "Jory Pell" in page_of(answer).split('id="work"')[1]


def test_what_turns_out_well_has_nothing_after_it(jory: Client, cast: Cast) -> None:
    line = in_work(cast, send_try(cast), branch=True)
    assert "Nothing more to do, and nothing more to pay for it." in page_of(press(jory, line, "It wipes off"))


def test_a_branch_that_nobody_agreed_stops_and_leads_to_a_supplementary_quote(
    jory: Client, cast: Cast
) -> None:
    line = in_work(cast, send_try(cast), branch=False)
    shown = page_of(press(jory, line, "The glass has gone"))
    assert "Stop: they asked to be asked. Write a supplementary quote." in shown
    step = next_step(seen(line.quote.job))
    assert (step.words, step.address) == (
        "Write a supplementary quote",
        reverse("bench_quote", args=[line.quote.job.ref]),
    )


def test_once_that_quote_is_sent_the_work_goes_on(jory: Client, cast: Cast) -> None:
    line = in_work(cast, send_try(cast), branch=False)
    press(jory, line, "The glass has gone")
    job = line.quote.job
    draft = quote.draft_quote(job)
    quote.put_line(draft, quote.LineDraft("part", "needed", "A lens group", 7800))
    assert next_step(seen(job)).words == "Go on with the supplementary quote"
    quote.send_quote(draft, cast.technician)
    assert next_step(seen(job)).words == "Start the testing"


def test_what_may_follow_is_quoted_with_one_press(jory: Client, cast: Cast) -> None:
    line = in_work(cast, send_try(cast), branch=False)
    address = reverse("bench_quote", args=[line.quote.job.ref])
    assert "Quote what may follow" not in page_of(jory.get(address))
    press(jory, line, "The glass has gone")
    _line, group = parts(line.quote)
    shown = page_of(jory.get(address))
    assert "Quote what may follow: Fit a sound lens group, £78" in shown
    assert f"?follows={group.pk}#write" in shown
    assert "Quote what may follow: Leave it" not in shown  # it costs nothing
    form = jory.get(address, {"follows": group.pk}).context["line_form"]
    told = [form[name].value() for name in ("title", "kind", "price", "months")]
    assert told == ["Fit a sound lens group", "part", "78.00", 12]
    add(jory, line.quote.job, title="Fit a sound lens group", price="78")
    assert "Quote what may follow" not in page_of(jory.get(address))


@pytest.mark.parametrize("typed", ["0", "x", "99999999999999999999", ""])
def test_what_follows_nothing_begins_an_empty_line(jory: Client, cast: Cast, typed: str) -> None:
    job = cast.job_at("in_work")
    answer = jory.get(reverse("bench_quote", args=[job.ref]), {"follows": typed})
    assert (answer.status_code, answer.context["line_form"]["title"].value()) == (200, None)


def test_past_their_ceiling_it_stops_and_says_the_sum(jory: Client, cast: Cast) -> None:
    line = in_work(cast, send_try(cast), branch=True, ceiling=10_000)
    assert "Stop: it would pass their ceiling." in page(jory, line.quote.job)
    shown = page_of(press(jory, line, "The glass has gone"))
    assert "Stop: it would pass their ceiling of £100. Write a supplementary quote." in shown


def test_an_up_to_line_that_would_make_room_under_the_ceiling_is_to_be_noted_first(
    jory: Client, cast: Cast
) -> None:
    draft = quote.draft_quote(send_try(cast).job)
    quote.put_line(draft, quote.LineDraft("work", "needed", "Look for the leak", 6000, up_to=True))
    sent = quote.send_quote(draft, cast.technician)
    line, group = parts(sent)
    leak = sent.lines.get(up_to=True)
    cast.agree(sent, [line.pk, group.pk, leak.pk], ceiling=15_000)
    working.start_work(sent.job, cast.technician)
    assert "Note that first: it may fit then." in page(jory, sent.job)
    came_to(jory, leak, "20")
    shown = page(jory, sent.job)
    assert "it may fit then" not in shown
    assert "Go on: Fit a sound lens group, £78." in shown


def test_where_we_stop_there_it_says_so(jory: Client, cast: Cast) -> None:
    job = cast.job_at(Stage.EXAMINING)
    draft = quote.draft_quote(job)
    ways = [quote.OutcomeDraft("It wipes off"), quote.OutcomeDraft("The glass has gone", stops=True)]
    quote.put_line(draft, quote.LineDraft("work", "needed", "Clean the haze", 3800, outcomes=ways))
    sent = quote.send_quote(draft, cast.technician)
    line = sent.lines.get()
    cast.agree(sent, [line.pk])
    working.start_work(job, cast.technician)
    assert "Stop there, as was said beforehand." in page_of(press(jory, line, "The glass has gone"))


def test_what_came_out_is_noted_once(jory: Client, cast: Cast) -> None:
    line = in_work(cast, send_try(cast), branch=True)
    outcome = line.outcomes.get(title="It wipes off")
    address = reverse("bench_tried", args=[line.quote.job.ref, line.pk])
    answers = [jory.post(address, {"outcome": outcome.pk}) for _ in range(2)]
    assert [answer.status_code for answer in answers] == [303, 422]
    assert "is noted already" in page_of(answers[1])
    assert Tried.objects.count() == 1


def test_a_slip_of_the_thumb_is_taken_back_and_the_keys_are_there_again(jory: Client, cast: Cast) -> None:
    line = in_work(cast, send_try(cast), branch=True)
    press(jory, line, "The glass has gone")
    address = reverse("bench_tried_undo", args=[line.quote.job.ref, line.pk])
    assert address in page(jory, line.quote.job)
    nothing = jory.post(address, {"because": ""})
    assert (nothing.status_code, "Say what was wrong with it." in page_of(nothing)) == (422, True)
    assert Tried.objects.exists()
    answer = jory.post(address, {"because": "Pressed the wrong one"}, follow=True)
    assert "Taken back. Note what really came out." in page_of(answer)
    assert 'id="tries"' in page_of(answer)


def test_a_try_of_another_job_cannot_be_taken_back(jory: Client, cast: Cast) -> None:
    line = in_work(cast, send_try(cast), branch=True)
    press(jory, line, "It wipes off")
    address = reverse("bench_tried_undo", args=[cast.another_book().ref, line.pk])
    assert jory.post(address, {"because": "Not mine"}).status_code == 404
    assert Tried.objects.exists()


@pytest.mark.parametrize("typed", ["", "0", "x", "99999999999999999999", "-1"])
def test_an_outcome_that_is_none_is_refused(jory: Client, cast: Cast, typed: str) -> None:
    line = in_work(cast, send_try(cast), branch=True)
    address = reverse("bench_tried", args=[line.quote.job.ref, line.pk])
    answer = jory.post(address, {"outcome": typed})
    assert answer.status_code == 422
    assert "Press what came out of it." in page_of(answer)
    assert not Tried.objects.exists()


def test_another_lines_outcome_is_refused(jory: Client, cast: Cast) -> None:
    theirs = in_work(cast, send_try(cast), branch=True).outcomes.all()[0]
    line = in_work(cast, send_try(cast), branch=True)
    address = reverse("bench_tried", args=[line.quote.job.ref, line.pk])
    assert jory.post(address, {"outcome": theirs.pk}).status_code == 422
    assert not Tried.objects.exists()


def test_a_line_of_another_job_is_not_found(jory: Client, cast: Cast) -> None:
    line = in_work(cast, send_try(cast), branch=True)
    other = cast.another_book()
    for name in ("bench_tried", "bench_final_price"):
        assert jory.post(reverse(name, args=[other.ref, line.pk])).status_code == 404


def test_a_try_that_was_not_agreed_is_not_asked_about(jory: Client, cast: Cast) -> None:
    sent = send_try(cast)
    line, _group = parts(sent)
    cast.agree(sent, [])
    assert 'id="tries"' not in page(jory, sent.job)
    assert (
        jory.post(
            reverse("bench_tried", args=[sent.job.ref, line.pk]), {"outcome": line.outcomes.all()[0].pk}
        ).status_code
        == 422
    )


def test_a_try_that_nobody_has_noted_comes_before_the_testing(jory: Client, cast: Cast) -> None:
    line = in_work(cast, send_try(cast), branch=True)
    step = next_step(seen(line.quote.job))
    assert (step.words, step.address.partition("#")[2]) == ("Note what came out of the try", "tries")
    press(jory, line, "It wipes off")
    assert next_step(seen(line.quote.job)).words == "Start the testing"


@pytest.fixture
def up_to(cast: Cast) -> Line:
    """A line agreed at £20 to £60."""
    job = cast.job_at(Stage.EXAMINING)
    draft = quote.draft_quote(job)
    line = quote.LineDraft("work", "needed", "Look for the leak", 6000, up_to=True, least=2000)
    quote.put_line(draft, line)
    sent = quote.send_quote(draft, cast.technician)
    cast.agree(sent, [sent.lines.get().pk])
    working.start_work(job, cast.technician)
    return sent.lines.select_related("quote__job").get()


def came_to(browser: Client, line: Line, price: str, note: str = "") -> HttpResponse:
    address = reverse("bench_final_price", args=[line.quote.job.ref, line.pk])
    return browser.post(address, {"price": price, "note": note})


def test_what_an_up_to_line_came_to_is_noted_and_can_be_changed(jory: Client, up_to: Line) -> None:
    assert "agreed at £20 to £60" in page(jory, up_to.quote.job)
    assert came_to(jory, up_to, "45", "Two seals.").status_code == 303
    assert FinalPrice.objects.get().price == 4500
    shown = page(jory, up_to.quote.job)
    assert 'value="45"' in shown or 'value="45.00"' in shown
    came_to(jory, up_to, "40")
    assert FinalPrice.objects.get().price == 4000


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("", "Type what it came to."),
        ("60.01", "It was agreed at £20 to £60."),
        ("19.99", "It was agreed at £20 to £60."),
        ("-45", "less than nothing"),
        ("dear", "not an amount of money"),
        ("99999999999", "more than any repair costs"),
    ],
)
def test_what_it_cannot_have_come_to_is_said_beside_the_field_and_kept(
    jory: Client, up_to: Line, typed: str, words: str
) -> None:
    answer = came_to(jory, up_to, typed, "Two seals.")
    assert answer.status_code == 422
    assert words in error_at(answer, f"final{up_to.pk}_price")
    assert 'value="Two seals."' in page_of(answer)
    assert not FinalPrice.objects.exists()


def test_a_fixed_price_stays_what_it_is(jory: Client, cast: Cast) -> None:
    job = cast.job_at("in_work")
    line = Line.objects.select_related("quote__job").filter(quote__job=job).first()
    answer = came_to(jory, line, "10")
    assert answer.status_code == 422
    assert not FinalPrice.objects.exists()
