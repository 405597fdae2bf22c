import sys

import pytest

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
