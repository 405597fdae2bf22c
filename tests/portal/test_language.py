"""Which language a page speaks, and that German pages are German throughout."""

import re
from collections.abc import Iterator

import pytest
from django.conf import settings
from django.http import HttpResponse
from django.test import Client
from django.urls import reverse
from django.utils.translation import override

from jobs.models import Customer, Decision, Job, Photo
from jobs.words import Stage
from portal import languages
from portal.bench.quote_page import usual_lines
from tests.cast import Cast
from tests.german import untranslated
from tests.portal.customer.pages import answer_typed, booking_typed, to
from tests.portal.test_access import PATTERNS, ROLES, World, come_in, named, rows, world  # noqa: F401

pytestmark = pytest.mark.django_db

GERMAN = {"accept-language": "de-AT,de;q=0.9,en;q=0.5"}
OF_STAFF = {"login", "logout", "password", "first_run", "letterbox", "letterbox_mail", "letterbox_html"}
OF_STAFF |= {"letterbox_answer", "letterbox_attached", "healthz", "photo"}
PAGES = ["my", "my_quote", "my_questions", "my_warranty", "my_settings", "my_leave"]
BROKEN = re.compile(
    r'\b(?:x|y|cx|cy|r|d|points|viewBox|transform|width|height|stroke-width)="[^"]*\d,\d[^"]*"'
)


def theirs() -> Iterator[tuple[str, str]]:
    """Name and method of every address that a customer or a visitor can come to; what changes something last."""
    for method in ("GET", "POST"):
        for name, methods in rows().items():
            of_customers = getattr(PATTERNS[name].callback, "access", "") in (
                "customer",
                "everyone",
                "machine",
            )
            if method in methods and of_customers and name not in OF_STAFF:
                yield name, method


def tongue(response: HttpResponse) -> str:
    return re.search(r'<html lang="([^"]+)"', response.content.decode())[1]


def test_every_page_of_customers_and_visitors_is_wholly_german(world: World) -> None:  # noqa: F811
    Customer.objects.update(language="de")
    clients = [come_in(world, role) for role in ("this customer", "nobody")]
    with untranslated() as heard:
        for name, method in theirs():
            for client in clients:
                client.generic(method, named(PATTERNS[name], world), headers=GERMAN)
        clients[0].get("/no/such/page/", headers=GERMAN)
    assert sorted(heard) == []


@pytest.mark.parametrize("stage", Stage.values)
def test_a_customers_pages_are_wholly_german_at_every_stage(cast: Cast, as_customer, stage: str) -> None:
    job = cast.job_at(stage)
    Customer.objects.update(language="de")
    with untranslated() as heard:
        for page in PAGES:
            as_customer(job).get(to(page, job), follow=True)
    assert sorted(heard) == []


def test_a_german_page_answers_as_the_english_one_and_keeps_the_points_in_its_drawings(world: World) -> None:  # noqa: F811
    Customer.objects.update(language="de")
    client, role = come_in(world, "this customer"), ROLES.index("this customer")
    for name, method in theirs():
        if method == "GET":
            page = client.get(named(PATTERNS[name], world), headers=GERMAN)
            assert page.status_code == rows()[name]["GET"][role], name
            if not page.streaming and page.headers["Content-Type"].startswith("text/html"):
                assert BROKEN.findall(page.text) == [], name


@pytest.mark.parametrize(
    "path", ["/", "/book/", "/library/", "/check/", "/find/", "/open/no-such-key", "/my/0000-000/"]
)
def test_a_page_for_anybody_speaks_what_the_browser_asks_for(cast: Cast, nobody: Client, path: str) -> None:
    german, english = nobody.get(path, headers=GERMAN), nobody.get(path)
    assert (tongue(german), german["Content-Language"]) == ("de", "de")
    assert (tongue(english), english["Content-Language"]) == ("en-gb", "en-gb")
    assert {"Accept-Language", "Cookie"} <= {each.strip() for each in german["Vary"].split(",")}


@pytest.mark.parametrize(
    ("asked", "spoken"),
    [
        ("fr, de;q=0.4", "de"),
        ("fr", "en-gb"),
        ("en-US,en;q=0.9", "en-gb"),
        ("*", "en-gb"),
        ("x" * 600, "en-gb"),
        ("de;q=0", "en-gb"),
    ],
)
def test_the_first_language_that_we_have_is_spoken(
    cast: Cast, nobody: Client, asked: str, spoken: str
) -> None:
    assert tongue(nobody.get("/", headers={"accept-language": asked})) == spoken


def test_where_the_browser_asks_for_nothing_of_ours_the_workshops_language_is_spoken(
    cast: Cast, nobody: Client
) -> None:
    languages.remember("de")
    assert tongue(nobody.get("/", headers={"accept-language": "fr"})) == "de"


def test_the_workshops_language_is_read_from_its_row(cast: Cast) -> None:
    cast.workshop.language = "de"
    cast.workshop.save()
    languages.remember("en-gb", seconds=-1)
    assert languages.of_workshop() == "de"
    assert languages.of_staff() == "en-gb"


def test_a_choice_is_kept_and_leads_back_to_the_page(cast: Cast, nobody: Client) -> None:
    answer = nobody.post(reverse("choose_language"), {"language": "de", "next": "/library/?look=haze"})
    assert (answer.status_code, answer["Location"]) == (303, "/library/?look=haze")
    assert tongue(nobody.get("/", headers={"accept-language": "en"})) == "de"


@pytest.mark.parametrize(
    "next_page", ["https://example.net/", "//example.net/", "javascript:alert(1)", "\\\\example.net", ""]
)
def test_a_choice_leads_nowhere_else(cast: Cast, nobody: Client, next_page: str) -> None:
    assert nobody.post(reverse("choose_language"), {"language": "de", "next": next_page})["Location"] == "/"


@pytest.mark.parametrize("code", ["fr", "", "de\r\nSet-Cookie: a=b", "x" * 5000])
def test_a_language_that_we_do_not_have_is_refused(cast: Cast, nobody: Client, code: str) -> None:
    answer = nobody.post(reverse("choose_language"), {"language": code})
    assert answer.status_code == 422
    assert "Choose one of these languages." in answer.text
    assert settings.LANGUAGE_COOKIE_NAME not in answer.cookies


def test_a_cookie_that_somebody_made_up_is_not_believed(cast: Cast, nobody: Client) -> None:
    nobody.cookies[settings.LANGUAGE_COOKIE_NAME] = "../../etc"
    assert tongue(nobody.get("/")) == "en-gb"


def test_a_customers_page_speaks_their_language_whoever_looks(cast: Cast, as_customer, as_staff) -> None:
    job = cast.job_at(Stage.QUOTED)
    Customer.objects.update(language="de")
    for visitor in (as_customer(job), as_staff(cast.owner_user)):
        page = visitor.get(to("my", job), headers={"accept-language": "en"})
        assert (tongue(page), page["Content-Language"]) == ("de", "de")


def test_bench_and_office_speak_the_workshops_language(cast: Cast, as_staff) -> None:
    owner = as_staff(cast.owner_user)
    owner.cookies[settings.LANGUAGE_COOKIE_NAME] = "de"
    job = cast.book()
    for path in ("/bench/", "/office/", "/library/", to("bench_job", job), "/staff/password/"):
        page = owner.get(path, headers=GERMAN)
        assert (tongue(page), page["Content-Language"]) == ("en-gb", "en-gb"), path


def test_the_log_in_speaks_the_workshops_language(cast: Cast, nobody: Client) -> None:
    assert tongue(nobody.get("/staff/", headers=GERMAN)) == "en-gb"


def test_a_customer_changes_the_language_of_page_and_letters(cast: Cast, as_customer) -> None:
    job = cast.job_at(Stage.QUOTED)
    visitor = as_customer(job)
    answer = visitor.post(to("my_language", job), {"language": "de", "next": to("my_quote", job)})
    assert answer["Location"] == to("my_quote", job)
    job.customer.refresh_from_db()
    assert job.customer.language == "de"
    assert tongue(visitor.get(to("my_quote", job))) == "de"


def test_a_language_that_we_do_not_have_changes_no_customer(cast: Cast, as_customer) -> None:
    job = cast.job_at(Stage.QUOTED)
    assert as_customer(job).post(to("my_language", job), {"language": "tlh"}).status_code == 422
    job.customer.refresh_from_db()
    assert job.customer.language == "en-gb"


def test_staff_do_not_choose_for_a_customer(cast: Cast, as_staff) -> None:
    job = cast.job_at(Stage.QUOTED)
    staff = as_staff(cast.owner_user)
    assert "my/language" not in staff.get(to("my", job)).text
    assert staff.post(to("my_language", job), {"language": "de"}).status_code == 403


def test_a_booking_keeps_the_language_it_was_written_in(cast: Cast, nobody: Client) -> None:
    typed = booking_typed(email="karl@example.org", name="Karl Winter", story="Der Hebel klemmt.")
    assert nobody.post("/book/", typed, headers=GERMAN).status_code == 303
    assert Customer.objects.get(email="karl@example.org").language == "de"


def test_the_booking_form_is_german(cast: Cast, nobody: Client) -> None:
    with untranslated() as heard:
        page = nobody.get("/book/", headers=GERMAN)
        wrong = nobody.post("/book/", {}, headers=GERMAN)
    assert sorted(heard) == []
    assert (page.status_code, wrong.status_code) == (200, 422)
    assert "Kamera" in page.text


def test_letters_off_speaks_the_customers_language(world: World, nobody: Client) -> None:  # noqa: F811
    Customer.objects.update(language="de")
    page = nobody.get(named(PATTERNS["letters_off"], world), headers={"accept-language": "en"})
    assert (tongue(page), page["Content-Language"]) == ("de", "de")
    assert not page.cookies


def test_each_language_is_named_in_itself(cast: Cast, nobody: Client) -> None:
    page = " ".join(nobody.get("/").text.split())
    assert re.search(r'<label lang="de"> <input type="radio" name="language" value="de" >Deutsch', page)
    assert re.search(
        r'<label lang="en-gb"> <input type="radio" name="language" value="en-gb" checked>English', page
    )


def test_what_staff_put_into_a_quote_for_a_german_customer_is_german(cast: Cast) -> None:
    job = cast.job_at(Stage.EXAMINING)
    cast.workshop.carriage_fee = cast.workshop.assessment_fee = 1200
    job.customer.language = "de"
    with override("en-gb"):
        titles = {line.title for line in usual_lines(job, cast.workshop)}
    assert titles == {"Versicherter Rückversand", "Die Untersuchung"}


def test_why_something_is_not_covered_is_kept_in_the_customers_language(cast: Cast) -> None:
    job = cast.book()
    Customer.objects.update(language="de")
    job = cast.job_at(Stage.QUOTED, Job.objects.get(pk=job.pk))
    cast.post_finding(
        job, "The covering has lifted", mechanism="covering", effect="looks", bearing="separate"
    )
    cast.agree(job.quotes.open().get())
    with override("en-gb"):
        home = cast.home(cast.finish(job))
    reasons = set(home.warranty.covers.filter(until=None).values_list("why_not", flat=True))
    assert "Wir haben Ihnen davon erzählt, und es blieb, wie es ist." in reasons


def test_what_was_wrong_with_a_photograph_is_told_in_the_customers_language(cast: Cast, as_customer) -> None:
    job = cast.job_at(Stage.QUOTED)
    Customer.objects.update(language="de")
    said = "This photo arrived damaged. Please send it once more."
    Photo.objects.create(job=job, purpose="story", state="failed", by_kind="customer", problem=said)
    page = as_customer(job).get(to("my", job)).text
    assert said not in page
    assert "Dieses Foto kam beschädigt an." in page


def test_what_is_agreed_to_is_kept_in_the_words_that_were_read(cast: Cast, as_customer) -> None:
    """Though they have chosen another language meanwhile, in another tab."""
    job = cast.job_at(Stage.QUOTED)
    visitor = as_customer(job)
    page = visitor.get(to("my_quote", job)).text
    read_in = re.search(r'name="read_in" value="([^"]+)"', page)[1]
    visitor.post(to("my_language", job), {"language": "de"})
    with untranslated() as heard:
        visitor.post(to("my_quote", job), answer_typed(job.quotes.get(), read_in=read_in))
    decision = Decision.objects.get(quote__job=job)
    assert read_in == "en-gb"
    assert decision.sentence.startswith("I agree to the work")
    assert not {each for each in heard if each.startswith("I agree to the work")}
