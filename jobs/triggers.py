"""Triggers that make the evidence append-only, on SQLite and PostgreSQL.

Laid again after every `migrate`, because SQLite loses a table's triggers when Django rebuilds it.
"""

from typing import Any

from django.db import DEFAULT_DB_ALIAS, connections
from django.db.backends.base.base import BaseDatabaseWrapper

GUARDED = (
    "jobs_entry",
    "jobs_decision",
    "jobs_choice",
    "jobs_wording",
    "jobs_explanationversion",
    "jobs_payment",
    "jobs_paper",
)


def guard_evidence(using: str = DEFAULT_DB_ALIAS, **_: Any) -> None:
    """Lay the triggers on every guarded table that exists."""
    connection = connections[using]
    present = [table for table in GUARDED if table in connection.introspection.table_names()]
    with connection.cursor() as cursor:
        for table in present:
            for statement in _statements(connection, table):
                cursor.execute(statement)


def unguard_evidence(using: str = DEFAULT_DB_ALIAS) -> None:
    """Take the triggers off: for tests that empty tables, and nothing else."""
    connection = connections[using]
    with connection.cursor() as cursor:
        for table in GUARDED:
            for event in ("update", "delete"):
                on = f" ON {table}" if connection.vendor == "postgresql" else ""
                cursor.execute(f"DROP TRIGGER IF EXISTS {table}_no_{event}{on}")


def unguarded(using: str = DEFAULT_DB_ALIAS) -> list[str]:
    """Names of the triggers that should be there and are not."""
    connection = connections[using]
    query = (
        "SELECT tgname FROM pg_trigger WHERE NOT tgisinternal"
        if connection.vendor == "postgresql"
        else "SELECT name FROM sqlite_master WHERE type = 'trigger'"
    )
    with connection.cursor() as cursor:
        cursor.execute(query)
        found = {row[0] for row in cursor.fetchall()}
    wanted = [f"{table}_no_{event}" for table in GUARDED for event in ("update", "delete")]
    return [name for name in wanted if name not in found]


def _statements(connection: BaseDatabaseWrapper, table: str) -> list[str]:
    if connection.vendor == "postgresql":
        function = (
            "CREATE OR REPLACE FUNCTION jobs_append_only() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN "
            "RAISE EXCEPTION 'append-only' USING ERRCODE = 'integrity_constraint_violation'; END $$"
        )
        made = [
            f"CREATE OR REPLACE TRIGGER {table}_no_{event} BEFORE {event.upper()} ON {table} "
            "FOR EACH ROW EXECUTE FUNCTION jobs_append_only()"
            for event in ("update", "delete")
        ]
        return [function, *made]
    return [
        f"CREATE TRIGGER IF NOT EXISTS {table}_no_{event} BEFORE {event.upper()} ON {table} "
        "BEGIN SELECT RAISE(ABORT, 'append-only'); END"
        for event in ("update", "delete")
    ]
