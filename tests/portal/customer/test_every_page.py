"""Each page of the customer's, for this customer, another customer, nobody and staff, at every stage."""

import pytest
from django.urls import reverse

from jobs.words import Stage
from tests.once import made_once

PAGES = ["my", "my_news", "my_quote", "my_questions", "my_warranty", "my_settings", "my_leave"]


@pytest.mark.parametrize("stage", Stage.values)
@pytest.mark.parametrize("page", PAGES)
def test_this_customer_reads_every_page_at_every_stage(cast, as_customer, stage, page):
    job = made_once(cast.job_at, stage)
    assert as_customer(job).get(reverse(page, args=[job.shown_ref]), follow=True).status_code == 200


@pytest.mark.parametrize("page", PAGES)
def test_another_customer_and_nobody_get_the_same_private_page(cast, as_customer, nobody, page):
    job = made_once(cast.job_at, Stage.QUOTED)
    stranger = as_customer(cast.another_book())
    for visitor in (stranger, nobody):
        response = visitor.get(reverse(page, args=[job.shown_ref]))
        assert response.status_code == 403
        assert job.item.name not in response.text


def test_a_private_page_says_the_same_for_a_reference_that_never_was(cast, nobody):
    job = made_once(cast.job_at, Stage.QUOTED)
    real = nobody.get(reverse("my", args=[job.shown_ref]))
    invented = nobody.get(reverse("my", args=["0000-00F"]))
    assert real.status_code == invented.status_code == 403
    assert without_token(real.text) == without_token(invented.text)


def a_second_job(cast):
    cast.home()
    return cast.job_at(Stage.QUOTED)


@pytest.mark.parametrize("page", PAGES)
def test_staff_read_every_page_without_its_forms(cast, as_staff, page):
    job = made_once(a_second_job, cast)
    response = as_staff(cast.technician_user).get(reverse(page, args=[job.shown_ref]), follow=True)
    assert response.status_code == 200
    assert 'method="post"' not in response.text


def test_staff_cannot_act_in_the_customers_name(cast, as_staff):
    job = made_once(cast.job_at, Stage.QUOTED)
    for page in ("my_quote", "my_total", "my_questions", "my_leave", "my_posted", "my_claim", "my_settings"):
        response = as_staff(cast.owner_user).post(
            reverse(page, args=[job.shown_ref]), {"text": "x", "name": "x"}
        )
        assert response.status_code == 403
    job.refresh_from_db()
    assert job.stage == Stage.QUOTED


@pytest.mark.parametrize(
    "page", ["my_quote", "my_total", "my_questions", "my_leave", "my_posted", "my_claim", "my_settings"]
)
def test_no_form_of_another_site_can_act(cast, as_customer, page):
    job = made_once(cast.job_at, Stage.QUOTED)
    visitor = as_customer(job, enforce_csrf_checks=True)
    assert visitor.post(reverse(page, args=[job.shown_ref]), {"name": "x", "text": "x"}).status_code == 403


def test_no_page_can_be_kept_by_a_cache_or_found_by_a_search_engine(cast, as_customer):
    job = made_once(cast.job_at, Stage.QUOTED)
    for page in PAGES:
        response = as_customer(job).get(reverse(page, args=[job.shown_ref]))
        assert response["Cache-Control"] == "private, no-store"
        assert "noindex" in response["X-Robots-Tag"]


@pytest.mark.parametrize("page", ["home", "book", "library"])
def test_everybody_reads_the_public_pages(cast, nobody, page):
    assert nobody.get(reverse(page)).status_code == 200


def test_every_explanation_has_its_page(cast, nobody):
    from jobs.library import entries

    for key in entries():
        assert nobody.get(reverse("library_entry", args=key.split("/"))).status_code == 200


def test_reading_changes_nothing_that_matters(cast, as_customer):
    job = made_once(cast.job_at, Stage.QUOTED)
    visitor = as_customer(job)
    for page in PAGES:
        for method in (visitor.head, visitor.get, visitor.get):
            method(reverse(page, args=[job.shown_ref]))
    before = job.last_seq
    job.refresh_from_db()
    assert (job.last_seq, job.stage, job.holder) == (before, Stage.QUOTED, "customer")


def test_the_customers_own_reading_is_noted_but_not_staffs_nor_a_scanners(cast, as_customer, as_staff):
    job = made_once(cast.job_at, Stage.EXAMINING)
    address = reverse("my", args=[job.shown_ref])
    as_staff(cast.owner_user).get(address)
    as_customer(job).head(address)
    job.refresh_from_db()
    assert job.opened_at is None
    as_customer(job).get(address)
    job.refresh_from_db()
    assert job.opened_at is not None


def without_token(page: str) -> str:
    import re

    return re.sub(r'name="(csrfmiddlewaretoken|next)" value="[^"]+"', "", page)


@pytest.mark.parametrize("page", PAGES)
def test_a_device_is_forgotten_by_one_button_and_not_by_two(cast, as_customer, page):
    job = made_once(cast.home)
    said = as_customer(job).get(reverse(page, args=[job.shown_ref]), follow=True).text
    assert said.count("Forget this device") == said.count(reverse("forget_device")) == ("<main" in said)
