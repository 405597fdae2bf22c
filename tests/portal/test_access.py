"""Every address and every role. A view without a mark, or an address that is missing here, is a failure."""

import re
from collections.abc import Callable, Iterator
from copy import deepcopy
from dataclasses import dataclass
from typing import Any
from uuid import uuid4

import pytest
from django.db import transaction
from django.http import HttpResponse
from django.test import Client
from django.urls import URLPattern, URLResolver, get_resolver, reverse
from django.utils import timezone

from jobs.actions import asking, enquiring, explaining, finding, quote
from jobs.actions.linking import find_link, issue_link
from jobs.actor import Actor
from jobs.library import get
from jobs.library.facts import examples
from jobs.models import Job, Outcome, Photo, PrivateLink, Question, Tried
from jobs.words import Stage
from notifications.models import Incoming, Letter
from notifications.preferences import token_for
from portal.access import OPENED
from portal.letterbox import keep
from tests.cast import Cast

MARKS = {"everyone", "customer", "staff", "owner", "machine"}
ROLES = ("nobody", "other customer", "this customer", "technician", "owner")


@dataclass
class World:
    """What the addresses name: one job with a quote that waits, one that is home again, and what belongs to them."""

    cast: Cast
    job: Job
    home: Job
    other: Job
    question: Question
    photo: Photo
    letter: Letter
    mail: str
    dead_key: str
    draft_line: int
    incoming: Incoming

    @property
    def ref(self) -> dict[str, Any]:
        return {"ref": self.job.shown_ref}


@pytest.fixture
def world(cast: Cast, settings: Any, tmp_path: Any) -> World:
    settings.DEMO = True
    settings.LETTERBOX_DIR = tmp_path / "letterbox"
    job = cast.job_at(Stage.QUOTED)
    haze = "lens/haze-inside"
    cast.post_finding(job, explanation=haze, facts=examples(get(haze).fields))
    home = cast.home(cast.job_at(Stage.RETURNED))
    draft = quote.draft_quote(job)
    finding.keep(job, finding.Draft("lens", "seen", "separate", "looks", "A mark on the rim"))
    explaining.save_draft("lens/haze-inside", get("lens/haze-inside").path.read_text(), 0, cast.technician)
    tried = home.quotes.get().lines.all()[0]
    outcome = Outcome.objects.create(line=tried, position=1, title="It holds")
    Tried.objects.create(line=tried, outcome=outcome, then="nothing", at=timezone.now(), by="Jory Pell")
    enquiring.enquire(job, "Shall the dent stay?", cast.technician, "once-1")
    entry = job.entries.first()
    assert entry
    letter = Letter.objects.create(
        entry=entry,
        job=job,
        person=job.customer,
        message_id="<a@b>",
        state="sent",
        subject="s",
        text="t",
        html="<p>t</p>",
    )
    (settings.MEDIA_ROOT / "small.jpg").write_bytes(b"not looked at here")
    mail = b"From: bench@example.org\r\nTo: orla@example.org\r\nContent-Type: text/html\r\n\r\n<p>Dear Orla</p>\r\n"
    return World(
        cast=cast,
        job=job,
        home=home,
        other=cast.another_book(),
        question=asking.ask(job, "Will it last?", Actor.customer(job.customer), "once"),
        photo=Photo.objects.create(
            job=job, purpose="story", state="ready", sizes={"400": "small.jpg"}, width=400, height=300
        ),
        letter=letter,
        mail=keep(settings.LETTERBOX_DIR, mail),
        dead_key=issue_link(job, days=-1),
        draft_line=draft.lines.all()[0].pk,
        incoming=Incoming.objects.create(fingerprint="one", state="aside", via="imap", file="none.eml"),
    )


def come_in(world: World, role: str) -> Client:
    """A browser of this role. A customer's is one that opened their jobs by private link."""
    client = Client()
    if role in ("technician", "owner"):
        client.force_login(world.cast.owner_user if role == "owner" else world.cast.technician_user)
    jobs = {"this customer": [world.job, world.home], "other customer": [world.other]}.get(role, [])
    if jobs:
        session = client.session
        session[OPENED] = {job.ref: find_link(issue_link(job)).pk for job in jobs}  # type: ignore[union-attr]
        session.save()
    return client


Kwargs = Callable[[World], dict[str, Any]]

# How to name the thing that an address is about. Addresses that are not here need the job's reference, or nothing.
NAMED: dict[str, Kwargs] = {
    "office_incoming_file": lambda world: {"pk": world.incoming.pk},
    "office_incoming_take": lambda world: {"pk": world.incoming.pk},
    "office_incoming_seen": lambda world: {"pk": world.incoming.pk},
    "mail_hook": lambda world: {"provider": "postmark", "what": "tracking"},
    "library_entry": lambda world: {"mechanism": "lens", "slug": "haze-inside"},
    "library_edit": lambda world: {"mechanism": "lens", "slug": "haze-inside"},
    "library_history": lambda world: {"mechanism": "lens", "slug": "haze-inside"},
    "library_version": lambda world: {"mechanism": "lens", "slug": "haze-inside", "n": 1},
    "library_back": lambda world: {"mechanism": "lens", "slug": "haze-inside"},
    "bench_write_up": lambda world: (
        world.ref | {"pk": world.job.findings.standing().filter(explanation="")[0].pk}
    ),
    "my_photo": lambda world: world.ref | {"uid": world.photo.uid},
    "my_explained": lambda world: (
        world.ref | {"finding": world.job.findings.exclude(explanation="").get().pk}
    ),
    "my_warranty": lambda world: {"ref": world.home.shown_ref},
    "my_warranty_pdf": lambda world: {"ref": world.home.shown_ref},
    "my_covered": lambda world: {"ref": world.home.shown_ref},
    "my_reminder": lambda world: {"ref": world.home.shown_ref},
    "my_claim": lambda world: {"ref": world.home.shown_ref},
    "open_link": lambda world: {"key": world.dead_key},
    "letters_off": lambda world: {"token": token_for(world.job.customer)},
    "letterbox_mail": lambda world: {"name": world.mail},
    "letterbox_answer": lambda world: {"name": world.mail},
    "letterbox_html": lambda world: {"name": world.mail},
    "letterbox_attached": lambda world: {"name": world.mail, "n": 1},
    "bench_finding": lambda world: world.ref | {"pk": world.job.findings.standing()[0].pk},
    "bench_finding_back": lambda world: world.ref | {"pk": world.job.findings.standing()[0].pk},
    "bench_finding_drop": lambda world: world.ref | {"pk": world.job.findings.get(state="draft").pk},
    "bench_photo": lambda world: world.ref | {"uid": world.photo.uid},
    "bench_answer": lambda world: world.ref | {"pk": world.question.pk},
    "my_answer": lambda world: world.ref | {"pk": world.job.enquiries.get().pk},
    "bench_they_said": lambda world: world.ref | {"pk": world.job.enquiries.get().pk},
    "bench_ask_no_more": lambda world: world.ref | {"pk": world.job.enquiries.get().pk},
    "bench_quote_line": lambda world: world.ref | {"pk": world.draft_line},
    "bench_quote_line_out": lambda world: world.ref | {"pk": world.draft_line},
    "bench_tried": lambda world: world.ref | {"pk": world.draft_line},
    "bench_final_price": lambda world: world.ref | {"pk": world.draft_line},
    "bench_tried_undo": lambda world: {
        "ref": world.home.shown_ref,
        "pk": world.home.quotes.get().lines.all()[0].pk,
    },
    "bench_payment_undo": lambda world: {
        "ref": world.home.shown_ref,
        "pk": world.home.payments.all()[0].pk,
    },
    "office_letter": lambda world: {"pk": world.letter.pk},
    "office_letter_html": lambda world: {"pk": world.letter.pk},
    "office_resend": lambda world: {"pk": world.letter.pk},
    "office_words_of": lambda world: {"kind": "ready", "spoken": "en-gb"},
    "office_words_letter": lambda world: {"kind": "ready", "spoken": "en-gb"},
    "office_password": lambda world: {"pk": world.cast.technician_user.pk},
    "office_role": lambda world: {"pk": world.cast.technician_user.pk},
    "office_access": lambda world: {"pk": world.cast.technician_user.pk},
    "photo": lambda world: {"uid": world.photo.uid, "width": 400},
}

# What a GET and an empty POST are answered with, in the order of ROLES. A method that is missing here is not allowed: 405.
# 302: to the log-in, and for the staff on from it. 403: closed. 422: let in, and told what is missing. 303: let in, and done.
# 409: a quote that is not the one on the screen. 410: a dead link.
TABLE = """
home                  GET   200  200  200  200  200
book                  GET   200  200  200  200  200
book                  POST  422  422  422  422  422
booked                GET   302  302  302  302  302
settled               GET   302  302  302  302  302
library               GET   200  200  200  200  200
library_entry         GET   200  200  200  200  200
library_new           GET   302  302  302  200  200
library_new           POST  302  302  302  422  422
library_edit          GET   302  302  302  200  200
library_edit          POST  302  302  302  422  422
library_history       GET   302  302  302  200  200
library_version       GET   302  302  302  200  200
library_back          GET   302  302  302  200  200
library_back          POST  302  302  302  422  422
my                    GET   403  403  200  200  200
my_news               GET   403  403  302  302  302
my_photo              GET   403  403  200  200  200
my_explained          GET   403  403  200  200  200
my_quote              GET   403  403  200  200  200
my_quote              POST  403  403  409  403  403
my_quote_pdf          GET   403  403  200  200  200
my_total              POST  403  403  200  403  403
my_questions          GET   403  403  200  200  200
my_questions          POST  403  403  422  403  403
my_answer             POST  403  403  422  403  403
my_warranty           GET   403  403  200  200  200
my_warranty_pdf       GET   403  403  200  200  200
my_covered            POST  403  403  422  403  403
my_reminder           POST  403  403  303  403  403
my_claim              POST  403  403  422  403  403
my_settings           GET   403  403  200  200  200
my_settings           POST  403  403  422  403  403
my_language           POST  403  403  422  403  403
my_notices            POST  403  403  422  403  403
push_worker           GET   200  200  200  200  200
my_posted             POST  403  403  422  403  403
my_leave              GET   403  403  200  200  200
my_leave              POST  403  403  422  403  403
open_link             GET   410  410  410  410  410
new_link              POST  303  303  303  303  303
forget_device         POST  303  303  303  303  303
find                  GET   200  200  200  200  200
find                  POST  422  422  422  422  422
link_asked            GET   200  200  200  200  200
check_document        GET   200  200  200  200  200
check_document        POST  422  422  422  422  422
choose_language       POST  422  422  422  422  422
letters_off           GET   200  200  200  200  200
letters_off           POST  200  200  200  200  200
first_run             GET   404  404  404  404  404
first_run             POST  404  404  404  404  404
letterbox             GET   200  200  200  200  200
letterbox_texts       GET   200  200  200  200  200
letterbox_take_text   POST  401  401  401  401  401
letterbox_take_notice POST  400  400  400  400  400
letterbox_mail        GET   200  200  200  200  200
letterbox_answer      POST  422  422  422  422  422
letterbox_html        GET   200  200  200  200  200
letterbox_attached    GET   404  404  404  404  404
login                 GET   200  200  200  302  302
login                 POST  422  422  422  302  302
logout                POST  303  303  303  303  303
password              GET   302  302  302  200  200
password              POST  302  302  302  422  422
bench                 GET   302  302  302  200  200
bench_job             GET   302  302  302  200  200
bench_arrival         GET   302  302  302  200  200
bench_arrival         POST  302  302  302  422  422
bench_examine         POST  302  302  302  303  303
bench_finding_new     GET   302  302  302  200  200
bench_finding_new     POST  302  302  302  422  422
bench_finding         GET   302  302  302  200  200
bench_finding         POST  302  302  302  422  422
bench_finding_drop    POST  302  302  302  303  303
bench_finding_back    GET   302  302  302  200  200
bench_finding_back    POST  302  302  302  422  422
bench_write_up        POST  302  302  302  303  303
bench_explanations    GET   302  302  302  200  200
bench_photos          POST  302  302  302  303  303
bench_photo           GET   302  302  302  200  200
bench_story           GET   302  302  302  200  200
bench_story           POST  302  302  302  422  422
bench_answer          GET   302  302  302  200  200
bench_answer          POST  302  302  302  422  422
bench_promise         GET   302  302  302  200  200
bench_promise         POST  302  302  302  422  422
bench_quote           GET   302  302  302  200  200
bench_quote           POST  302  302  302  422  422
bench_ask_them        GET   302  302  302  200  200
bench_ask_them        POST  302  302  302  422  422
bench_they_said       GET   302  302  302  200  200
bench_they_said       POST  302  302  302  422  422
bench_ask_no_more     POST  302  302  302  303  303
bench_answer_pdf      GET   302  302  302  200  200
bench_quote_line      GET   302  302  302  200  200
bench_quote_line      POST  302  302  302  422  422
bench_quote_line_out  POST  302  302  302  303  303
bench_quote_drop      POST  302  302  302  303  303
bench_tried           POST  302  302  302  422  422
bench_final_price     POST  302  302  302  422  422
bench_quote_back      POST  302  302  302  303  303
bench_quote_renew     POST  302  302  302  422  422
bench_call            GET   302  302  302  200  200
bench_call            POST  302  302  302  422  422
bench_work            POST  302  302  302  422  422
bench_part            GET   302  302  302  200  200
bench_part            POST  302  302  302  422  422
bench_part_came       POST  302  302  302  303  303
bench_claim           GET   302  302  302  200  200
bench_claim           POST  302  302  302  422  422
bench_nothing         GET   302  302  302  200  200
bench_nothing         POST  302  302  302  422  422
bench_times           GET   302  302  302  200  200
bench_times           POST  302  302  302  303  303
bench_proving         GET   302  302  302  200  200
bench_proving         POST  302  302  302  422  422
bench_prove           POST  302  302  302  422  422
bench_results         GET   302  302  302  200  200
bench_results         POST  302  302  302  422  422
bench_payments        GET   302  302  302  200  200
bench_payments        POST  302  302  302  422  422
bench_tried_undo      GET   302  302  302  200  200
bench_tried_undo      POST  302  302  302  422  422
bench_payment_undo    GET   302  302  302  200  200
bench_payment_undo    POST  302  302  302  422  422
bench_send_back       GET   302  302  302  200  200
bench_send_back       POST  302  302  302  422  422
bench_delivered       GET   302  302  302  200  200
bench_delivered       POST  302  302  302  422  422
bench_withdraw        GET   302  302  302  200  200
bench_withdraw        POST  302  302  302  303  303
office                GET   302  302  302  403  200
office_owed           GET   302  302  302  403  200
office_owed_file      GET   302  302  302  403  200
office_letters        GET   302  302  302  403  200
office_letter         GET   302  302  302  403  200
office_letter_html    GET   302  302  302  403  200
office_resend         POST  302  302  302  403  303
office_incoming       GET   302  302  302  403  200
office_incoming_file  GET   302  302  302  403  404
office_incoming_take  POST  302  302  302  403  422
office_incoming_seen  POST  302  302  302  403  303
office_reply_box      GET   302  302  302  403  200
office_reply_box      POST  302  302  302  403  303
office_again          POST  302  302  302  403  303
office_comebacks      GET   302  302  302  403  200
office_settings       GET   302  302  302  403  200
office_settings       POST  302  302  302  403  422
office_tax_rate       POST  302  302  302  403  422
office_warranty_term  POST  302  302  302  403  422
office_mailbox        POST  302  302  302  403  303
office_nudges         GET   302  302  302  403  200
office_nudges         POST  302  302  302  403  422
office_hours          GET   302  302  302  403  200
office_hours          POST  302  302  302  403  422
office_words          GET   302  302  302  403  200
office_words_of       GET   302  302  302  403  200
office_words_of       POST  302  302  302  403  303
office_words_letter   GET   302  302  302  403  200
office_words_letter   POST  302  302  302  403  200
office_texts          GET   302  302  302  403  200
office_texts          POST  302  302  302  403  303
office_staff          GET   302  302  302  403  200
office_staff          POST  302  302  302  403  422
office_password       POST  302  302  302  403  200
office_role           POST  302  302  302  403  422
office_access         POST  302  302  302  403  303
office_job            GET   302  302  302  403  200
office_release        POST  302  302  302  403  422
office_call           POST  302  302  302  403  422
office_address        POST  302  302  302  403  422
office_evidence       GET   302  302  302  403  200
office_nudge          POST  302  302  302  403  303
office_ring           GET   302  302  302  403  200
office_ring           POST  302  302  302  403  422
office_put_off        GET   302  302  302  403  200
office_put_off        POST  302  302  302  403  422
office_take_up        POST  302  302  302  403  303
office_renew          POST  302  302  302  403  303
office_link           POST  302  302  302  403  303
photo                 GET   404  404  200  200  200
mail_hook             POST  404  404  404  404  404
healthz               GET   503  503  503  503  503
"""
NOT_ALLOWED = [405] * len(ROLES)


def rows() -> dict[str, dict[str, list[int]]]:
    found: dict[str, dict[str, list[int]]] = {}
    for line in TABLE.strip().splitlines():
        name, method, *codes = line.split()
        found.setdefault(name, {})[method] = [int(code) for code in codes]
    return found


def addresses(resolver: URLResolver | None = None) -> Iterator[URLPattern]:
    """Every address of ours. Django's admin guards itself, and is there only where a setting names an address for it."""
    for pattern in (resolver or get_resolver()).url_patterns:
        if isinstance(pattern, URLPattern):
            yield pattern
        elif pattern.app_name != "admin":
            yield from addresses(pattern)


def named(pattern: URLPattern, world: World) -> str:
    name = str(pattern.name)
    kwargs = NAMED[name](world) if name in NAMED else world.ref if "ref" in pattern.pattern.converters else {}
    return reverse(name, kwargs=kwargs)


class Visitors:
    """A browser for each role. What a request does is undone, so that each meets the same world."""

    def __init__(self, world: World) -> None:
        self.clients = {role: come_in(world, role) for role in ROLES}

    def ask(self, role: str, method: str, path: str) -> HttpResponse:
        client = self.clients[role]
        cookies, before = deepcopy(client.cookies), transaction.savepoint()
        answer: HttpResponse = client.generic(method, path)
        for close_file in getattr(answer, "_resource_closers", []):
            close_file()  # not answer.close(): that would end the test's connection to the database
        transaction.savepoint_rollback(before)
        client.cookies = cookies
        return answer

    def codes(self, method: str, path: str) -> list[int]:
        return [self.ask(role, method, path).status_code for role in ROLES]


@pytest.fixture
def visitors(world: World) -> Visitors:
    return Visitors(world)


PATTERNS = {str(pattern.name): pattern for pattern in addresses()}


def marked(*marks: str) -> list[str]:
    return sorted(
        name for name, pattern in PATTERNS.items() if getattr(pattern.callback, "access", "") in marks
    )


def bare(answer: HttpResponse) -> str:
    """The page without its CSRF token, which is another one each time, and without the address that was asked for."""
    return re.sub(r'(name="(?:csrfmiddlewaretoken|next)" value=")[^"]*', r"\1", answer.content.decode())


def test_every_address_has_a_name_of_its_own() -> None:
    names = [pattern.name for pattern in addresses()]
    assert None not in names
    assert len(names) == len(set(names))


def test_every_view_says_who_may_see_it() -> None:
    unmarked = [
        str(pattern.name) for pattern in addresses() if getattr(pattern.callback, "access", None) not in MARKS
    ]
    assert unmarked == []


def test_every_address_stands_in_the_table_and_no_other() -> None:
    assert set(rows()) == set(PATTERNS)


@pytest.mark.django_db
@pytest.mark.parametrize("mark", sorted(MARKS))
def test_each_role_gets_what_the_table_says(world: World, visitors: Visitors, mark: str) -> None:
    for name in marked(mark):
        path, row = named(PATTERNS[name], world), rows()[name]
        for method in ("GET", "POST"):
            told = (name, method, visitors.codes(method, path))
            assert told == (name, method, row.get(method, NOT_ALLOWED))


@pytest.mark.django_db
def test_no_address_takes_any_other_method(world: World, visitors: Visitors) -> None:
    for name, pattern in PATTERNS.items():
        for method in ("PUT", "DELETE", "PATCH"):
            assert (name, visitors.ask("owner", method, named(pattern, world)).status_code) == (name, 405)


@pytest.mark.django_db
def test_strangers_and_customers_are_sent_to_the_log_in(world: World, visitors: Visitors) -> None:
    for name in marked("staff", "owner"):
        method = "GET" if "GET" in rows()[name] else "POST"
        for role in ("nobody", "this customer"):
            answer = visitors.ask(role, method, named(PATTERNS[name], world))
            assert answer["Location"].startswith("/staff/?next="), name


@pytest.mark.django_db
@pytest.mark.parametrize("dead", ["expires_at", "revoked_at"])
def test_a_link_that_died_shuts_every_page_that_it_opened(
    world: World, visitors: Visitors, dead: str
) -> None:
    PrivateLink.objects.update(**{dead: timezone.now()})
    for name in [*marked("customer"), "photo"]:
        for method in rows()[name]:
            answer = visitors.ask("this customer", method, named(PATTERNS[name], world))
            assert answer.status_code in (403, 404), name


@pytest.mark.django_db
def test_no_such_job_and_not_your_job_look_the_same(world: World, visitors: Visitors) -> None:
    for name in marked("customer"):
        theirs = named(PATTERNS[name], world)
        nowhere = theirs.replace(world.job.shown_ref, "0000-000").replace(world.home.shown_ref, "0000-000")
        for method in rows()[name]:
            pages = [visitors.ask("other customer", method, path) for path in (theirs, nowhere)]
            assert pages[0].status_code == pages[1].status_code == 403
            assert bare(pages[0]) == bare(pages[1])


@pytest.mark.django_db
def test_a_right_link_with_another_jobs_number_opens_nothing(world: World, visitors: Visitors) -> None:
    mine, photo = world.other.shown_ref, world.photo.uid
    explained = world.job.findings.exclude(explanation="").get().pk
    for path in (f"/my/{mine}/photo/{photo}/", f"/my/{mine}/explained/{explained}/", f"/photo/{photo}/400"):
        assert visitors.ask("other customer", "GET", path).status_code == 404


@pytest.mark.django_db
def test_at_the_bench_too_a_number_belongs_to_its_job(world: World, visitors: Visitors) -> None:
    for name in ("bench_finding", "bench_finding_back", "bench_answer", "bench_quote_line", "bench_photo"):
        elsewhere = named(PATTERNS[name], world).replace(world.job.shown_ref, world.home.shown_ref)
        assert (name, visitors.ask("technician", "GET", elsewhere).status_code) == (name, 404)


@pytest.mark.django_db
def test_a_question_about_another_jobs_finding_is_not_about_it(world: World) -> None:
    found = world.job.findings.standing()[0]
    told = {"text": "What is this?", "once": str(uuid4()), "about": f"finding-{found.pk}"}
    come_in(world, "other customer").post(f"/my/{world.other.shown_ref}/questions/", told)
    assert not Question.objects.filter(finding=found).exists()


@pytest.mark.django_db
def test_without_our_token_no_form_is_taken(world: World, visitors: Visitors) -> None:
    """A form on another site cannot act for who is logged in here. A mail program's one-step request proves itself by its token."""
    visitors.clients["owner"].handler.enforce_csrf_checks = True
    for name in (name for name in PATTERNS if "POST" in rows()[name]):
        answer = visitors.ask("owner", "POST", named(PATTERNS[name], world))
        assert (name, answer.status_code == 403) == (name, name not in marked("machine"))
