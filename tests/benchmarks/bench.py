"""`make bench`: takes every measurement, prints a table and writes VAR_DIR/bench.json. Exit status 0 even where an aim is missed."""

import importlib
import logging
import os
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent.parent
sys.path.insert(0, str(ROOT))
KEPT_IN = (
    Path(os.environ.get("VAR_DIR") or ROOT / "var") / "bench.json"
)  # before the tests' settings choose another
os.environ["DJANGO_SETTINGS_MODULE"] = "tests.settings"

import django  # noqa: E402
from django.test.utils import setup_databases, setup_test_environment, teardown_databases  # noqa: E402

from tests.benchmarks import frame  # noqa: E402


def main() -> None:
    django.setup()
    setup_test_environment(debug=False)
    logging.disable(logging.INFO)
    made = setup_databases(verbosity=0, interactive=False, serialized_aliases=set())
    try:
        for file in sorted(Path(__file__).parent.glob("rows_*.py")):
            importlib.import_module(f"tests.benchmarks.{file.stem}")
        rows = frame.take(frame.measures)
    finally:
        teardown_databases(made, verbosity=0)
    print(frame.table(rows))
    frame.keep(rows, KEPT_IN)


if __name__ == "__main__":
    main()
