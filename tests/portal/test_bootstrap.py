"""The first step of `make run`, as a person meets it: on an old Python, in a folder that cannot be written, half done."""

import ast
import shutil
import subprocess
import sys

import pytest

from portal import bootstrap
from tests.services import ROOT


def copy(folder):
    """A copy of the bootstrap with lock files of no packages, so that an installation is real and quick."""
    (folder / "portal").mkdir()
    shutil.copy(ROOT / "portal" / "bootstrap.py", folder / "portal")
    for lock in bootstrap.LOCKS.values():
        (folder / lock).write_text("# nothing to install\n")
    return folder


@pytest.fixture
def house(tmp_path):
    return copy(tmp_path)


@pytest.fixture(scope="module")
def installed(tmp_path_factory):
    """A house with a real virtual environment; each test leaves it in need of nothing worse than another start."""
    folder = copy(tmp_path_factory.mktemp("installed"))
    assert "Installing" in start(folder).stdout
    return folder


def start(house, *, code=None, kind="run"):
    command = [sys.executable, *(["-c", code] if code else ["portal/bootstrap.py", kind])]
    return subprocess.run(command, cwd=house, capture_output=True, text=True, timeout=120)


def pretend(house, change):
    """The bootstrap started with something changed beforehand."""
    return start(
        house,
        code=f"import sys; sys.path.insert(0, 'portal'); import bootstrap; {change}; bootstrap.main('run')",
    )


def test_an_old_python_can_read_it():
    source = (ROOT / "portal" / "bootstrap.py").read_text()
    tree = ast.parse(source, feature_version=(3, 4))
    assert not [node for node in ast.walk(tree) if isinstance(node, ast.JoinedStr | ast.AnnAssign)]
    assert all(not node.returns for node in ast.walk(tree) if isinstance(node, ast.FunctionDef))


def test_an_old_python_is_told_what_is_needed(house):
    done = pretend(house, "sys.version_info = (3, 9, 2)")
    assert done.returncode == 1
    assert (
        done.stderr == "Python 3.11 or newer is needed, and this is 3.9. Choose one with PYTHON=python3.11\n"
    )


def test_a_missing_venv_module_is_told_with_the_package_to_install(house):
    done = pretend(house, "sys.modules['ensurepip'] = None")
    assert (
        done.stderr == "Python's venv module is missing. On Debian and Ubuntu: apt-get install python3-venv\n"
    )


def test_a_folder_that_cannot_be_written_is_told_in_one_line(house):
    (house / "closed").write_text("a file where a folder would have to be made; root may write anywhere else")
    done = pretend(house, "bootstrap.VENV = 'closed/.venv'")
    assert done.stderr.startswith("Cannot write to ")
    assert done.stderr.endswith("Make the folder writable, or work in a copy of it.\n")
    assert done.stderr.count("\n") == 1


@pytest.mark.slow
def test_a_second_start_has_nothing_to_do(installed):
    start(installed)
    assert start(installed).stdout == ""


@pytest.mark.slow
def test_a_changed_lock_file_is_installed(installed):
    (installed / "requirements.txt").write_text("# still nothing, said otherwise\n")
    assert "Installing" in start(installed).stdout


@pytest.mark.slow
def test_an_installation_cut_short_is_taken_up_again(installed):
    (installed / ".venv" / "installed.txt").unlink()
    shutil.rmtree(installed / ".venv" / "lib")
    assert start(installed).returncode == 0
    assert (installed / ".venv" / "installed.txt").exists()
    assert (
        subprocess.run(
            [installed / ".venv" / "bin" / "python", "-m", "pip", "--version"], check=False
        ).returncode
        == 0
    )


@pytest.mark.slow
def test_a_package_that_does_not_match_its_hash_is_refused_and_leaves_no_stamp(installed):
    wheel = installed / "liar-1.0-py3-none-any.whl"
    wheel.write_bytes(b"not what was locked")
    (installed / "requirements.txt").write_text(f"liar @ {wheel.as_uri()} --hash=sha256:{'0' * 64}\n")
    done = start(installed)
    assert done.returncode == 1
    assert done.stderr.startswith("The packages could not be installed")
    assert not (installed / ".venv" / "installed.txt").exists()


def test_the_packages_for_tests_contain_those_to_run():
    locked = [set(packages(ROOT / lock)) for lock in bootstrap.LOCKS.values()]
    assert locked[0] <= locked[1]


def packages(lock):
    """The `name==version` lines of a lock file."""
    return [line.split(" ")[0] for line in lock.read_text().splitlines() if "==" in line]


@pytest.mark.parametrize("lock", bootstrap.LOCKS.values())
def test_lock_files_hold_names_versions_and_hashes_and_no_address(lock):
    text = (ROOT / lock).read_text()
    assert "://" not in text
    assert text.count("==") <= text.count("--hash=sha256:")


@pytest.mark.parametrize("asked", ["requirements.in", "requirements-dev.in"])
def test_every_dependency_of_ours_says_why_it_is_there(asked):
    lines = [line for line in (ROOT / asked).read_text().splitlines() if line and line[0] not in "#-"]
    assert all(" # " in line for line in lines)
