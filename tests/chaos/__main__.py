"""`python -m tests.chaos --letters 1000 --seed 7`. Exit status 1 when anything was lost, doubled or left unexplained."""

import argparse
import logging
import os
import random
import sys
import tempfile
from pathlib import Path

os.environ["DJANGO_SETTINGS_MODULE"] = "tests.settings"

import django
from django.db import connection
from django.test.utils import setup_databases, teardown_databases


def main() -> int:
    told = argparse.ArgumentParser(prog="tests.chaos", description=__doc__)
    told.add_argument("--letters", type=int, default=1000)
    told.add_argument("--seed", type=int, default=random.SystemRandom().randrange(1_000_000))
    given = told.parse_args()
    django.setup()
    logging.disable(logging.ERROR)  # the broker is dead half of the time, and says so
    from tests.chaos import storm

    print(f"chaos: {given.letters} letters on {connection.vendor}, seed {given.seed}", flush=True)
    made = setup_databases(verbosity=0, interactive=False, serialized_aliases=set())
    try:
        with tempfile.TemporaryDirectory(prefix="benchletter-chaos-") as folder:
            plan = storm.Plan(letters=given.letters)
            verdict, raged = storm.run(plan, Path(folder), given.seed, lambda words: print(words, flush=True))
    finally:
        teardown_databases(made, verbosity=0)
    for line in report(verdict, raged):
        print(line)
    return 1 if verdict.wrongs else 0


def report(verdict, raged) -> list[str]:  # type: ignore[no-untyped-def]
    """The lines at the end."""
    blows = ", ".join(f"{what} {count}" for what, count in raged.house.suffered.most_common())
    moods = ", ".join(f"{what} {count}" for what, count in raged.server.met.most_common())
    extra = sum(verdict.repeated.values())
    return [
        f"The house suffered: {blows}.",
        f"The mail server: {moods}.",
        f"{verdict.entries} entries, {verdict.delivered} Message-IDs delivered, {verdict.copies} copies in all.",
        f"{extra} copies too many, each with the Message-ID of the first, of {len(verdict.repeated)} letters; "
        f"SMTP could not tell {verdict.doubts} times.",
        *(f"WRONG: {wrong}" for wrong in verdict.wrongs[:30]),
        f"{len(verdict.wrongs)} things are wrong."
        if verdict.wrongs
        else "Nothing lost, nothing unexplained.",
    ]


if __name__ == "__main__":
    sys.exit(main())
