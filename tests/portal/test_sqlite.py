import sys
from itertools import count

import pytest
from django.db import connection

from portal import sqlite


# Source: SQLite's change log, entries 3.51.3 and 3.53.0 ("WAL-reset"), and the back-ports 3.44.6 and 3.50.7.
@pytest.mark.parametrize("version", [(3, 44, 6), (3, 50, 7), (3, 51, 3), (3, 53, 0), (3, 53, 4), (4, 0, 0)])
def test_a_mended_sqlite_may_use_the_write_ahead_log(version):
    assert sqlite.journal_mode(version) == "WAL"


@pytest.mark.parametrize("version", [(3, 6, 9), (3, 40, 1), (3, 44, 5), (3, 45, 0), (3, 50, 6), (3, 51, 2)])
def test_an_affected_sqlite_keeps_the_old_journal(version):
    assert sqlite.journal_mode(version) == "TRUNCATE"


def test_django_opens_databases_with_the_sqlite_of_the_wheel():
    import pysqlite3
    from django.db.backends.sqlite3 import base

    assert base.Database is pysqlite3.dbapi2
    assert sys.modules["sqlite3"] is pysqlite3


def test_the_sqlite_in_use_is_a_mended_one():
    assert sqlite.wal_is_safe()


@pytest.fixture
def open_it(tmp_path):
    """Opens connections to one database, each as Django opens its own."""
    made = []

    def connect():
        made.append(sqlite.Connection(tmp_path / "x.sqlite3", isolation_level=None))
        return made[-1]

    connect().execute("PRAGMA journal_mode = WAL")
    connect().execute("CREATE TABLE x (n)")
    yield connect
    for each in made:
        each.close()


@pytest.fixture
def looks(monkeypatch):
    """The pauses between two looks at the lock; `when[n]` happens in the n-th."""
    taken, when = [], {}

    def pause(seconds):
        taken.append(seconds)
        when.get(len(taken), bool)()

    monkeypatch.setattr(sqlite, "sleep", pause)
    return taken, when


def holder(open_it):
    other = open_it()
    other.execute("BEGIN IMMEDIATE")
    other.execute("INSERT INTO x VALUES (1)")
    return other


@pytest.mark.parametrize(
    "statement", ["BEGIN IMMEDIATE", "INSERT INTO x VALUES (2)", "UPDATE x SET n = 2", "DELETE FROM x"]
)
def test_a_writer_that_waits_looks_again_and_again_after_the_same_short_pause(open_it, looks, statement):
    pauses, when = looks
    when[30] = holder(open_it).commit
    ours = open_it()
    ours.execute(statement)
    assert pauses == [sqlite.PAUSE] * 30


def test_a_writer_that_has_waited_too_long_is_told_so(open_it, looks, monkeypatch):
    holder(open_it)
    clock = count()
    monkeypatch.setattr(sqlite, "monotonic", lambda: float(next(clock)))
    with pytest.raises(sqlite.pysqlite3.OperationalError, match="database is locked"):
        open_it().execute("BEGIN IMMEDIATE")
    assert len(looks[0]) == sqlite.PATIENCE


def test_what_is_wrong_with_a_statement_is_no_reason_to_wait(open_it, looks):
    with pytest.raises(sqlite.pysqlite3.OperationalError, match="no such table"):
        open_it().execute("INSERT INTO y VALUES (1)")
    assert looks[0] == []


def test_whoever_reads_waits_for_no_writer(open_it, looks):
    holder(open_it)
    assert open_it().execute("SELECT count(*) FROM x").fetchone() == (0,)
    assert looks[0] == []


def test_everything_else_waits_as_sqlite_does(open_it, looks):
    ours = open_it()
    ours.execute("BEGIN IMMEDIATE")
    assert ours.execute("PRAGMA busy_timeout").fetchone() == (sqlite.PATIENCE * 1000,)
    assert looks[0] == []


@pytest.mark.django_db
@pytest.mark.skipif("connection.vendor != 'sqlite'")
def test_django_waits_in_that_way():
    connection.ensure_connection()
    assert isinstance(connection.connection, sqlite.Connection)
    assert isinstance(connection.connection.cursor(), sqlite._looking_often(sqlite.pysqlite3.Cursor))
