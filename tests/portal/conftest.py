"""Visitors: browsers that came in as somebody of the cast."""

from collections.abc import Callable

import pytest
from django.template import Template
from django.test import Client
from django.test.utils import instrumented_test_render

from jobs.actions.linking import find_link, issue_link
from jobs.models import Job, Staff
from portal.access import OPENED
from tests.cast import Cast, make_cast

Visitor = Callable[..., Client]


@pytest.fixture(autouse=True, scope="session")
def no_copies_of_what_templates_were_given(django_test_environment: None) -> None:
    """Django keeps a copy of the context of every template that is rendered, for tests that look into it: a tenth of the time of a page.

    Ours read the page; the few that look into a form ask for `contexts`.
    """
    Template._render = lambda template, context: template.nodelist.render(context)  # type: ignore[attr-defined]


@pytest.fixture
def contexts(monkeypatch: pytest.MonkeyPatch) -> None:
    """What templates are given is kept after all: `response.context`."""
    monkeypatch.setattr(Template, "_render", instrumented_test_render)


@pytest.fixture
def cast(db: None) -> Cast:
    return make_cast()


@pytest.fixture
def as_customer() -> Visitor:
    """`as_customer(job, ...)`: a browser that opened these jobs by their private links."""

    def come_in(*jobs: Job, **more: object) -> Client:
        client = Client(**more)
        session = client.session
        session[OPENED] = {job.ref: find_link(issue_link(job)).pk for job in jobs}
        session.save()
        return client

    return come_in


@pytest.fixture
def as_staff() -> Visitor:
    """`as_staff(cast.owner_user)`: a browser that logged in."""

    def log_in(member: Staff, **more: object) -> Client:
        client = Client(**more)
        client.force_login(member)
        return client

    return log_in


@pytest.fixture
def nobody() -> Client:
    """A stranger's browser."""
    return Client()
