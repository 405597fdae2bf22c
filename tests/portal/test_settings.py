"""Settings that must hold, read in a fresh process as each kind of house reads them."""

import hashlib

import pytest
from celery import current_app
from django.conf import settings
from django.db import connection

from tests.portal.fresh import KEY, PRODUCTION, python, setting
from tests.services import ROOT

HTMX_2_0_11 = "d6fdc75f204e6bdefa99b69bf1e6d4ac69b8a364f77929f45c13476b4000f717"


def test_without_a_key_the_settings_refuse_to_load(tmp_path):
    done = python("-c", "from portal import settings", var=tmp_path)
    assert "SECRET_KEY is not set" in done.stderr.splitlines()[-1]


@pytest.mark.parametrize("house", [{}, {"DEBUG": "1", "PUBLIC_BASE_URL": "https://repairs.example.org"}])
def test_the_development_key_never_serves_a_customer(tmp_path, house):
    key = setting("settings.SECRET_KEY", tmp_path, DEBUG="1")
    done = python("-c", "from portal import settings", var=tmp_path, SECRET_KEY=key, **house)
    assert "development key" in done.stderr.splitlines()[-1]


def test_manage_makes_a_key_of_its_own_that_only_we_can_read(tmp_path):
    python("manage.py", "check", var=tmp_path)
    assert len((tmp_path / "secret-key").read_text()) > 50
    assert (tmp_path / "secret-key").stat().st_mode & 0o777 == 0o600


def test_debug_is_off_unless_somebody_turns_it_on(tmp_path):
    assert setting("settings.DEBUG", tmp_path, SECRET_KEY=KEY) is False


@pytest.mark.parametrize(
    "url", ["repairs.example.org", "ftp://repairs.example.org", "https://example.org/repairs"]
)
def test_a_public_address_that_letters_could_not_carry_is_refused(tmp_path, url):
    done = python("-c", "from portal import settings", var=tmp_path, SECRET_KEY=KEY, PUBLIC_BASE_URL=url)
    assert "PUBLIC_BASE_URL reads" in done.stderr


def test_a_number_that_is_no_number_says_which_setting_is_wrong(tmp_path):
    done = python("-c", "from portal import settings", var=tmp_path, SECRET_KEY=KEY, EMAIL_TIMEOUT="soon")
    assert "EMAIL_TIMEOUT" in done.stderr.splitlines()[-1]


def test_production_cookies_are_bound_to_the_host_and_to_https(tmp_path):
    asked = "[settings.SESSION_COOKIE_NAME, settings.CSRF_COOKIE_NAME, settings.SESSION_COOKIE_SECURE]"
    assert setting(asked, tmp_path, **PRODUCTION) == ["__Host-sessionid", "__Host-csrftoken", True]


def test_production_asks_browsers_to_stay_on_https_for_a_year(tmp_path):
    assert setting("settings.SECURE_HSTS_SECONDS", tmp_path, **PRODUCTION) >= 31_536_000


def test_a_forwarded_header_is_believed_only_behind_a_proxy(tmp_path):
    asked = "getattr(settings, 'SECURE_PROXY_SSL_HEADER', None)"
    assert setting(asked, tmp_path, **PRODUCTION | {"BEHIND_PROXY": "0"}) is None
    assert setting(asked, tmp_path, **PRODUCTION) == ["HTTP_X_FORWARDED_PROTO", "https"]


def test_the_deployment_check_has_nothing_to_say_about_production(tmp_path):
    done = python("manage.py", "check", "--deploy", "--fail-level", "WARNING", var=tmp_path, **PRODUCTION)
    assert done.returncode == 0, done.stderr


@pytest.mark.parametrize("missing", ["BEHIND_PROXY", "PUBLIC_BASE_URL"])
def test_the_deployment_check_fails_when_a_production_setting_is_taken_away(tmp_path, missing):
    house = {name: value for name, value in PRODUCTION.items() if name != missing}
    done = python("manage.py", "check", "--deploy", "--fail-level", "WARNING", var=tmp_path, **house)
    assert done.returncode != 0


def test_a_page_never_waits_long_for_a_frozen_broker(tmp_path):
    options = setting("settings.CELERY_BROKER_TRANSPORT_OPTIONS", tmp_path, SECRET_KEY=KEY)
    assert options["socket_timeout"] <= 1
    assert options["socket_connect_timeout"] <= 1


def test_celery_is_told_what_keeps_work_from_being_lost_or_doubled():
    conf = current_app.conf
    assert conf.task_acks_late
    assert conf.worker_prefetch_multiplier == 1
    assert conf.task_time_limit < 60 < conf.broker_transport_options["visibility_timeout"]


def test_celery_keeps_no_results_and_reads_json_only():
    assert current_app.conf.result_backend is None
    assert current_app.conf.task_ignore_result
    assert current_app.conf.accept_content == ["json"]


def test_tasks_are_never_eager():
    assert not current_app.conf.task_always_eager


def test_every_task_of_the_timetable_exists_and_goes_stale_before_the_next_one_comes():
    current_app.loader.import_default_modules()
    for row in settings.CELERY_BEAT_SCHEDULE.values():
        assert row["task"] in current_app.tasks
        assert row["options"]["expires"] < row["schedule"]


@pytest.mark.sqlite
@pytest.mark.django_db
@pytest.mark.parametrize(
    ("pragma", "value"), [("journal_mode", "wal"), ("synchronous", 2), ("foreign_keys", 1)]
)
def test_sqlite_is_opened_the_safe_way(pragma, value):
    with connection.cursor() as cursor:
        assert cursor.execute(f"PRAGMA {pragma}").fetchone()[0] == value


def test_pages_do_not_hold_the_write_lock():
    assert not connection.settings_dict["ATOMIC_REQUESTS"]


def test_htmx_is_the_file_that_was_reviewed():
    file = ROOT / "portal" / "static" / "portal" / "htmx.min.js"
    assert hashlib.sha256(file.read_bytes()).hexdigest() == HTMX_2_0_11


@pytest.mark.django_db
def test_the_content_policy_allows_nothing_but_our_own_files(client):
    policy = client.get("/healthz").headers["Content-Security-Policy"]
    assert "default-src 'none'" in policy
    assert "unsafe" not in policy
    assert "http" not in policy


@pytest.mark.django_db
def test_answers_are_private_unless_a_view_says_otherwise(client):
    headers = client.get("/healthz").headers
    assert headers["Cache-Control"] == "private, no-store"
    assert headers["Cross-Origin-Resource-Policy"] == "same-origin"
    assert headers["X-Content-Type-Options"] == "nosniff"
