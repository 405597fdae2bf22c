"""Each system check finds what it is for, and is silent about the settings as they are."""

import pytest
from celery import current_app
from django.core.checks import run_checks
from django.db import connection

from portal import checks, sqlite
from portal.state import draw_vapid_key


def ids(messages):
    return [message.id for message in messages]


@pytest.fixture
def opened_with(monkeypatch):
    """Pretends that SQLite is opened with these options (changing DATABASES in a running Django is not allowed)."""
    return lambda options: monkeypatch.setattr(checks, "sqlite_options", lambda: [options])


def test_the_settings_as_they_are_pass():
    assert ids(run_checks(tags=["portal"])) == []


def test_wal_on_an_affected_sqlite_is_an_error(opened_with, monkeypatch):
    opened_with(sqlite.options((3, 53, 4)))
    monkeypatch.setattr(sqlite, "VERSION", (3, 40, 1))
    assert ids(checks.sqlite_keeps_what_it_is_given(None)) == ["portal.E001"]


def test_the_old_journal_on_an_affected_sqlite_is_fine(opened_with, monkeypatch):
    opened_with(sqlite.options((3, 40, 1)))
    monkeypatch.setattr(sqlite, "VERSION", (3, 40, 1))
    assert ids(checks.sqlite_keeps_what_it_is_given(None)) == []


def test_sqlite_without_our_options_is_an_error(opened_with):
    opened_with({})
    assert ids(checks.sqlite_keeps_what_it_is_given(None)) == ["portal.E002", "portal.E003"]


def test_the_file_system_is_that_of_the_nearest_mount(tmp_path):
    mounts = tmp_path / "mounts"
    mounts.write_text(
        "/dev/a / ext4 rw 0 0\nserver:/b /srv nfs4 rw 0 0\n/dev/c /srv/local\\040disk xfs rw 0 0\n"
    )
    kinds = [
        checks.file_system_of(checks.Path(p), mounts)
        for p in ("/home", "/srv/shop", "/srv/local disk/var", "/srvx")
    ]
    assert kinds == ["ext4", "nfs4", "xfs", "ext4"]


def test_sqlite_on_a_network_disk_is_an_error(opened_with, monkeypatch):
    opened_with(sqlite.options())
    monkeypatch.setattr(checks, "file_system_of", lambda folder, mounts: "nfs4")
    assert ids(checks.the_database_is_on_a_local_disk(None)) == ["portal.E004"]


@pytest.mark.parametrize(
    ("name", "value", "found"),
    [
        ("task_always_eager", True, "portal.E010"),
        ("task_time_limit", None, "portal.E011"),
        ("task_time_limit", 90, "portal.E011"),
        ("broker_transport_options", {"visibility_timeout": 300}, "portal.E012"),
        ("broker_transport_options", {"visibility_timeout": 40, "socket_timeout": 1}, "portal.E011"),
        ("accept_content", ["json", "pickle"], "portal.E013"),
    ],
)
def test_unsafe_background_work_is_an_error(monkeypatch, name, value, found):
    monkeypatch.setitem(current_app.conf.changes, name, value)
    assert ids(checks.background_work_is_safe(None)) == [found]


@pytest.mark.parametrize("timeout", [None, 0, 60])
def test_mail_that_may_wait_for_ever_is_an_error(settings, timeout):
    settings.EMAIL_TIMEOUT = timeout
    assert ids(checks.mail_gives_up_in_time(None)) == ["portal.E020"]


def test_a_house_on_plain_http_is_not_for_deployment(settings):
    settings.SECURE = False
    assert "portal.E030" in ids(checks.the_public_address_is_public(None))


def test_https_without_a_proxy_is_warned_about(settings):
    settings.SECURE, settings.BEHIND_PROXY = True, False
    assert ids(checks.the_public_address_is_public(None)) == ["portal.W031"]


def test_a_demo_is_not_for_deployment(settings):
    settings.SECURE = settings.BEHIND_PROXY = settings.DEMO = True
    assert ids(checks.the_public_address_is_public(None)) == ["portal.E033"]


@pytest.mark.django_db
def test_evidence_without_its_triggers_is_an_error():
    with connection.cursor() as cursor:
        on = " ON jobs_entry" if connection.vendor == "postgresql" else ""
        cursor.execute(f"DROP TRIGGER jobs_entry_no_update{on}")
    assert ids(checks.evidence_is_guarded(None, databases=["default"])) == ["portal.E040"]


@pytest.mark.django_db
def test_evidence_is_guarded_after_migrating():
    assert checks.evidence_is_guarded(None, databases=["default"]) == []


@pytest.mark.parametrize(
    ("found", "said"), [("1.7.0", []), ("2.0.1", []), ("1.6.3", ["portal.E051"]), (None, ["portal.E050"])]
)
def test_heic_asks_for_a_library_without_the_known_holes(settings, monkeypatch, found, said):
    def version(_name):
        if found is None:
            raise checks.PackageNotFoundError
        return found

    settings.HEIC = True
    monkeypatch.setattr(checks, "version", version)
    assert ids(checks.heic_is_opened_by_a_mended_library(None)) == said


@pytest.mark.parametrize("key", ["nonsense", "AAAA", "A" * 43])
def test_a_key_for_notices_that_is_none_is_an_error(settings, key):
    settings.VAPID_KEY = key
    assert ids(checks.notices_are_signed_with_a_key(None)) == ["portal.E070"]


def test_a_house_with_a_fresh_key_or_without_one_is_fine(settings):
    for key in (draw_vapid_key(), ""):
        settings.VAPID_KEY = key
        assert ids(checks.notices_are_signed_with_a_key(None)) == []
