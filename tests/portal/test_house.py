"""Rules of the house that a linter does not know."""

import ast
import re

import pytest

from tests.portal.fresh import KEY, python
from tests.services import ROOT

COMPUTING = ["money", "quoting", "shutter", "warranty_terms", "covering", "comebacks", "noticing", "refs"]
PAGES = [
    path for path in (ROOT / "templates").rglob("*.html") if "letters" not in path.relative_to(ROOT).parts
]
OURS = [path for folder in ("portal", "jobs", "notifications") for path in (ROOT / folder).rglob("*.py")]


def imports(path):
    """Names of the modules that a file imports, at any depth."""
    for node in ast.walk(ast.parse(path.read_text())):
        if isinstance(node, ast.Import):
            yield from (name.name for name in node.names)
        elif isinstance(node, ast.ImportFrom):
            yield node.module or ""


@pytest.mark.parametrize("module", COMPUTING)
def test_what_computes_imports_no_database(module):
    assert not [name for name in imports(ROOT / "jobs" / f"{module}.py") if name.startswith("django.db")]


@pytest.mark.parametrize("package", ["jobs", "notifications"])
def test_only_the_portal_speaks_http(package):
    for path in (ROOT / package).rglob("*.py"):
        assert not [name for name in imports(path) if name.startswith("django.http")], path


@pytest.mark.parametrize("path", PAGES, ids=lambda path: path.name)
def test_a_page_holds_no_script_and_no_style_of_its_own(path):
    text = path.read_text()
    assert not re.search(r"<script(?![^>]*\ssrc=)", text)
    assert not re.search(r"<style|\sstyle=|\son[a-z]+=", text)
    assert not re.search(r"""(src|href|action)=["']https?://""", text)


def test_no_task_waits_inside_the_broker():
    # A message with a delay sits in a worker's memory and comes again and again after the visibility timeout.
    for path in OURS:
        assert not re.search(r"\b(countdown|eta)=", path.read_text()), path


def test_a_web_process_loads_nothing_heavy(tmp_path):
    every_page = "import sys, portal.wsgi, portal.urls; print(*sorted({'numpy', 'scipy', 'PIL.Image'} & set(sys.modules)))"
    done = python("-c", every_page, var=tmp_path, SECRET_KEY=KEY)
    assert done.stdout.strip() == "", done.stderr


def test_nobody_registers_signals_to_move_work_along():
    # anymail.signals: how a provider’s news is handed over; the receivers lead on in one line (notifications/providers.py).
    allowed = {"anymail.signals", "celery.signals", "django.db.models.signals", "django.test.signals"}
    found = {name for path in OURS for name in imports(path) if name.endswith("signals")}
    assert found <= allowed
    assert not [path for path in OURS if "@receiver" in path.read_text()]
