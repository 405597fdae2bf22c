"""Makes .venv and installs the locked packages into it, unless that is done already.

Standard library only, and readable to an old Python: it has to be able to say that the Python is too old. Installs by
hash alone. The stamp is written last, so an installation that was cut short is taken up again.

    python3 portal/bootstrap.py [run|dev]
"""

import hashlib
import os
import subprocess
import sys

OLDEST = (3, 11)
ROOT = os.path.dirname(os.path.dirname(os.path.abspath(__file__)))
VENV = os.environ.get("VENV") or os.path.join(ROOT, ".venv")
STAMP = os.path.join(VENV, "installed.txt")
LOCKS = {"run": "requirements.txt", "dev": "requirements-dev.txt"}


def main(kind):
    if sys.version_info < OLDEST:
        stop(
            "Python 3.11 or newer is needed, and this is %d.%d. Choose one with PYTHON=python3.11"
            % sys.version_info[:2]
        )
    if line_for(kind) in stamped():
        return
    say("Installing Benchletter into %s. The first time takes a minute." % VENV)
    make_venv()
    unstamp()
    install(LOCKS[kind])
    stamp(kind)


def line_for(kind):
    """What the stamp says when this lock file is installed: its hash, and the Python it was installed for."""
    with open(os.path.join(ROOT, LOCKS[kind]), "rb") as lock:
        digest = hashlib.sha256(lock.read()).hexdigest()
    return "%s %s %d.%d" % ((kind, digest) + sys.version_info[:2])


def stamped():
    try:
        with open(STAMP) as file:
            return file.read().splitlines()
    except (IOError, OSError):
        return []


def unstamp():
    if os.path.exists(STAMP):
        os.remove(STAMP)


def stamp(kind):
    kinds = ["run", "dev"] if kind == "dev" else ["run"]  # the packages of dev contain those of run
    with open(STAMP, "w") as file:
        file.write("".join(line_for(each) + "\n" for each in kinds))


def make_venv():
    if works():
        return
    try:
        import ensurepip  # noqa: F401
        import venv
    except ImportError:
        stop("Python's venv module is missing. On Debian and Ubuntu: apt-get install python3-venv")
    try:
        venv.create(VENV, clear=True, with_pip=True)
    except OSError as error:
        stop(
            "Cannot write to %s (%s). Make the folder writable, or work in a copy of it."
            % (error.filename or VENV, error.strerror)
        )
    except subprocess.CalledProcessError:
        stop("Python's venv module is incomplete. On Debian and Ubuntu: apt-get install python3-venv")


def works():
    """Whether the environment that is there can install packages and is of this Python."""
    code = "import pip, sys; sys.exit(sys.version_info[:2] != %r)" % (sys.version_info[:2],)
    try:
        return subprocess.call([python(), "-c", code], stderr=subprocess.DEVNULL) == 0
    except OSError:
        return False


def python():
    return os.path.join(VENV, "bin", "python")


def install(lock):
    # The lock names everything that is needed, and leaves out on purpose what some packages ask for (see the Makefile).
    command = [python(), "-m", "pip", "install", "--quiet", "--disable-pip-version-check"]
    pip = subprocess.run(
        command + ["--require-hashes", "--no-deps", "-r", os.path.join(ROOT, lock)],
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
    )
    if pip.returncode:
        text = pip.stdout.decode("utf-8", "replace").strip()
        reason = text.splitlines()[-1] if text else "pip said nothing"
        stop(
            "The packages could not be installed: %s. Is there a network? Run the same command again."
            % reason
        )


def say(text):
    sys.stdout.write(text + "\n")
    sys.stdout.flush()


def stop(text):
    sys.stderr.write(text + "\n")
    sys.exit(1)


if __name__ == "__main__":
    main(sys.argv[1] if len(sys.argv) > 1 else "run")
