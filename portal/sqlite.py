"""Puts the SQLite of the pysqlite3 wheel in the place of the system's, and says how its writers take turns.

SQLite 3.7.0 to 3.51.2 can lose pages in WAL mode when a commit resets the log just as a checkpoint starts (SQLite's
change log for 3.51.3 and 3.53.0; back-ported to 3.44.6 and 3.50.7). Debian 12 ships 3.40.1. Where the wheel is
missing we stay on the system's library and journal the old way, which is slower and safe.
"""

import sys
from functools import cache
from time import monotonic, sleep
from typing import Any

try:
    import pysqlite3
except ImportError:
    import sqlite3 as pysqlite3
else:
    sys.modules["sqlite3"] = pysqlite3
    sys.modules["sqlite3.dbapi2"] = pysqlite3.dbapi2

Version = tuple[int, int, int]

VERSION: Version = pysqlite3.sqlite_version_info[:3]
FIRST_WITH_WAL: Version = (3, 7, 0)
MENDED: Version = (3, 51, 3)
MENDED_BRANCHES = {(3, 44): 6, (3, 50): 7}

PATIENCE = 20.0  # seconds for another's transaction
PAUSE = 0.001  # seconds between two looks at the lock: a transaction of ours holds it for about one
WRITES = ("BEGIN", "INSERT", "UPDATE", "DELETE")


def wal_is_safe(version: Version = VERSION) -> bool:
    """Whether this SQLite can be trusted with a write-ahead log."""
    if version >= MENDED or version < FIRST_WITH_WAL:
        return version >= MENDED
    patch = MENDED_BRANCHES.get(version[:2])
    return patch is not None and version[2] >= patch


def journal_mode(version: Version = VERSION) -> str:
    return "WAL" if wal_is_safe(version) else "TRUNCATE"


def options(version: Version = VERSION) -> dict[str, object]:
    """Connection options for Django.

    IMMEDIATE takes the write lock at the start, so a transaction that reads and then writes waits its turn instead of
    failing. FULL keeps the last commits through a power cut: an answer to a quote is evidence.
    """
    pragmas = f"journal_mode={journal_mode(version)}", "synchronous=FULL", "foreign_keys=ON"
    return {
        "factory": Connection,
        "transaction_mode": "IMMEDIATE",
        "timeout": PATIENCE,
        "init_command": "".join(f"PRAGMA {pragma};" for pragma in pragmas),
    }


class Connection(pysqlite3.Connection):
    """Who has to wait for the write lock looks again every millisecond. SQLite itself would soon sleep for 25, 50, 100 ms at a time,
    while the lock comes free and is taken again by others: two workers sent no more letters than one.
    """

    def cursor(self, factory: type = pysqlite3.Cursor) -> Any:
        return super().cursor(_looking_often(factory))


@cache
def _looking_often(factory: type) -> type:
    class Cursor(factory):  # type: ignore[misc]
        def execute(self, query: str, *params: Any) -> Any:
            if self.connection.in_transaction or not query.startswith(WRITES):
                return super().execute(query, *params)
            self.connection.execute("PRAGMA busy_timeout = 0")
            try:
                return _in_turn(super().execute, query, *params)
            finally:
                self.connection.execute(f"PRAGMA busy_timeout = {PATIENCE * 1000:.0f}")

    return Cursor


def _in_turn(execute: Any, *statement: Any) -> Any:
    """Carry out what begins by taking the lock: as long as that is refused, nothing of it has happened."""
    until = monotonic() + PATIENCE
    while True:
        try:
            return execute(*statement)
        except pysqlite3.OperationalError as error:
            if "database is locked" not in str(error) or monotonic() > until:
                raise
        sleep(PAUSE)
