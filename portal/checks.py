"""What must be right before the first customer comes. `manage.py check --deploy --database default` runs them all."""

from collections.abc import Sequence
from importlib.metadata import PackageNotFoundError, version
from importlib.util import find_spec
from pathlib import Path
from typing import Any

from celery import current_app
from django.apps import AppConfig
from django.conf import settings
from django.core.checks import CheckMessage, Error, Tags, Warning, register
from django.db import connections

from portal import sqlite

Apps = Sequence[AppConfig] | None
LONGEST_LETTER_TIMEOUT = 20  # seconds; two tries at a slow mail server must end before the task is killed
SAFE_PILLOW_HEIF = (1, 7)
NETWORK_FILE_SYSTEMS = {
    "nfs",
    "nfs4",
    "cifs",
    "smb3",
    "smbfs",
    "fuse.sshfs",
    "9p",
    "afs",
    "ceph",
    "glusterfs",
}


@register("portal")
def sqlite_keeps_what_it_is_given(app_configs: Apps, **_: Any) -> list[CheckMessage]:
    """WAL on a SQLite with the WAL-reset bug can lose pages; a deferred transaction fails under load."""
    problems: list[CheckMessage] = []
    for options in sqlite_options():
        if "journal_mode=WAL" in str(options.get("init_command")) and not sqlite.wal_is_safe(sqlite.VERSION):
            version = ".".join(map(str, sqlite.VERSION))
            problems.append(Error(f"SQLite {version} can corrupt a database in WAL mode.", id="portal.E001"))
        if options.get("transaction_mode") != "IMMEDIATE":
            problems.append(Error("SQLite transactions have to be IMMEDIATE.", id="portal.E002"))
        if "foreign_keys=ON" not in str(options.get("init_command")):
            problems.append(Error("SQLite has to enforce foreign keys.", id="portal.E003"))
    return problems


def sqlite_options() -> list[dict[str, Any]]:
    return [
        database.get("OPTIONS", {})
        for database in settings.DATABASES.values()
        if database["ENGINE"] == "django.db.backends.sqlite3"
    ]


@register("portal")
def the_database_is_on_a_local_disk(app_configs: Apps, **_: Any) -> list[CheckMessage]:
    """SQLite's log needs shared memory and honest locks; network file systems have neither."""
    if not sqlite_options():
        return []
    kind = file_system_of(Path(settings.VAR_DIR), Path("/proc/mounts"))
    if kind not in NETWORK_FILE_SYSTEMS:
        return []
    return [Error(f"VAR_DIR is on {kind}. SQLite needs a local disk; else use PostgreSQL.", id="portal.E004")]


def file_system_of(folder: Path, mounts: Path) -> str:
    """The type of the file system that holds the folder ("ext4"), or "" where the system does not tell."""
    if not mounts.exists():
        return ""
    found: tuple[int, str] = (-1, "")
    for line in mounts.read_text(errors="replace").splitlines():
        point, kind = line.split(" ")[1:3]
        if folder.is_relative_to(point.replace("\\040", " ")):
            found = max(found, (len(point), kind))
    return found[1]


@register("portal")
def background_work_is_safe(app_configs: Apps, **_: Any) -> list[CheckMessage]:
    """Never eager; no task outlives the time after which the broker hands it to somebody else."""
    problems: list[CheckMessage] = []
    conf = current_app.conf
    if conf.task_always_eager:
        problems.append(
            Error("Eager tasks run inside the page and lose retries and limits.", id="portal.E010")
        )
    visible = conf.broker_transport_options.get("visibility_timeout", 3600)
    if not conf.task_time_limit or conf.task_time_limit >= min(60, visible):
        problems.append(Error("Every task needs a time limit under a minute.", id="portal.E011"))
    if not conf.broker_transport_options.get("socket_timeout"):
        problems.append(
            Error("Without a socket timeout a frozen broker holds pages for ever.", id="portal.E012")
        )
    if conf.accept_content != ["json"]:
        problems.append(Error("Workers may accept JSON only.", id="portal.E013"))
    return problems


@register("portal")
def mail_gives_up_in_time(app_configs: Apps, **_: Any) -> list[CheckMessage]:
    """Django's default waits for a silent mail server for ever."""
    timeout = settings.EMAIL_TIMEOUT
    if timeout and 0 < timeout <= LONGEST_LETTER_TIMEOUT:
        return []
    return [Error(f"EMAIL_TIMEOUT has to be 1 to {LONGEST_LETTER_TIMEOUT} seconds.", id="portal.E020")]


@register("portal")
def the_provider_can_be_used(app_configs: Apps, **_: Any) -> list[CheckMessage]:
    """What a provider tells us has to prove itself: anybody can post to an address on the web."""
    name = settings.MAIL_PROVIDER
    problems: list[CheckMessage] = []
    if name and not (name.isidentifier() and find_spec(f"anymail.backends.{name}")):
        problems.append(Error(f"MAIL_PROVIDER: django-anymail has no backend “{name}”.", id="portal.E060"))
    if name and ":" not in str(settings.ANYMAIL.get("WEBHOOK_SECRET", "")):
        hint = "Put “name:password”, both long and random, into ANYMAIL_WEBHOOK_SECRET, and into the address at the provider."
        problems.append(Error("Webhooks of the mail provider need a secret.", hint=hint, id="portal.E061"))
    if settings.REPLY_ADDRESS and (not name or "@" not in settings.REPLY_ADDRESS):
        problems.append(
            Error("REPLY_ADDRESS is an address at which MAIL_PROVIDER takes mail in.", id="portal.E062")
        )
    return problems


@register("portal", deploy=True)
def the_public_address_is_public(app_configs: Apps, **_: Any) -> list[CheckMessage]:
    """Letters carry PUBLIC_BASE_URL; without https the private links travel in the open."""
    problems: list[CheckMessage] = []
    if not settings.SECURE:
        problems.append(Error("PUBLIC_BASE_URL has to start with https:// in production.", id="portal.E030"))
    elif not settings.BEHIND_PROXY:
        hint = "Let a proxy speak TLS, let it set X-Forwarded-Proto itself, then set BEHIND_PROXY=1."
        problems.append(Warning("Every page would redirect to itself.", hint=hint, id="portal.W031"))
    if settings.SECRET_KEY == settings.DEVELOPMENT_KEY:
        problems.append(Error("SECRET_KEY is the development key.", id="portal.E032"))
    if settings.DEMO:
        problems.append(Error("DEMO shows everybody's letters. Unset it in production.", id="portal.E033"))
    return problems


@register("portal")
def notices_are_signed_with_a_key(app_configs: Apps, **_: Any) -> list[CheckMessage]:
    """A key that push services would not understand shows itself only when the first notice fails."""
    from notifications import vapid

    if wrong := vapid.problem():
        message = f"VAPID_KEY is no private key of the curve P-256 ({wrong}). Leave it out, and one is made."
        return [Error(message, id="portal.E070")]
    return []


@register("portal")
def heic_is_opened_by_a_mended_library(app_configs: Apps, **_: Any) -> list[CheckMessage]:
    """HEIC=1 needs the extra pillow-heif, and one that is new: a decoder of strangers' files must carry its library's last repairs."""
    if not settings.HEIC:
        return []
    try:
        found = version("pillow-heif")
    except PackageNotFoundError:
        return [Error("HEIC=1 needs pillow-heif, which is not installed.", id="portal.E050")]
    if tuple(int(part) for part in found.split(".")[:2]) < SAFE_PILLOW_HEIF:
        return [Error(f"pillow-heif {found} opens HEIC unsafely. Install 1.7 or later.", id="portal.E051")]
    return []


@register(Tags.database)
def evidence_is_guarded(
    app_configs: Apps, databases: Sequence[str] | None = None, **_: Any
) -> list[CheckMessage]:
    """Evidence tables refuse UPDATE and DELETE by triggers, which SQLite forgets when it rebuilds a table."""
    from jobs import triggers

    problems: list[CheckMessage] = []
    for alias in databases or []:
        tables = set(connections[alias].introspection.table_names())
        for trigger in triggers.unguarded(alias):
            table = trigger.rpartition("_no_")[0]
            if table in tables:
                message = f"{table} can be changed: {trigger} is missing. `manage.py migrate` lays it again."
                problems.append(Error(message, id="portal.E040"))
    return problems
