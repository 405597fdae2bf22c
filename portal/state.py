"""The folder where all state lives (VAR_DIR, by default `var`), and the secrets that are made there once.

Needs no settings: manage.py lays the folder out before Django reads them.
"""

import base64
import os
import secrets
import sys
from contextlib import suppress
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
FIRST_RUN_KEY = "first-run-key"
VAPID_KEY = "vapid-key"
P256_ORDER = 0xFFFFFFFF00000000FFFFFFFFFFFFFFFFBCE6FAADA7179E84F3B9CAC2FC632551  # FIPS 186-4, D.1.2.3
FOLDERS = ("media", "letterbox", "valkey", "log", "static", "incoming")


def var_dir() -> Path:
    """The state folder: VAR_DIR from the environment, else `var` beside manage.py."""
    return Path(os.environ.get("VAR_DIR") or ROOT / "var").resolve()


def lay_out() -> Path:
    """Makes the folders and the secret key where they are missing. Ends the program with one line if it cannot."""
    var = var_dir()
    try:
        var.mkdir(
            mode=0o700, parents=True, exist_ok=True
        )  # customers' letters and photographs: for our eyes only
        for folder in FOLDERS:
            (var / folder).mkdir(exist_ok=True)
        keep_secret(var / "secret-key", secrets.token_urlsafe(50))
        keep_secret(var / VAPID_KEY, draw_vapid_key())
    except OSError as error:
        sys.exit(
            f"Benchletter cannot write to {error.filename or var} ({error.strerror}). "
            f"Choose another folder with VAR_DIR=... or make this one writable."
        )
    return var


def keep_secret(path: Path, secret: str) -> str:
    """Writes the secret for our eyes only unless the file is there already; answers what the file holds.

    Written beside its place and then linked: of two processes that start at once the second reads the first's secret.
    """
    fresh = path.with_name(f"{path.name}.{os.getpid()}")
    handle = os.open(fresh, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600)
    with os.fdopen(handle, "w") as file:
        file.write(secret + "\n")
    with suppress(FileExistsError):
        os.link(fresh, path)
    fresh.unlink()
    return path.read_text().strip()


def first_run_key() -> str:
    """The one-time key that guards the first page of a workshop that nobody owns yet. Made once; gone when it is used."""
    return keep_secret(var_dir() / FIRST_RUN_KEY, secrets.token_urlsafe(24))


def draw_vapid_key() -> str:
    """A private key of the curve P-256 (RFC 8292): a number below the curve's order, 32 bytes in base64url. Made once and kept:
    browsers take notices from who subscribed them alone."""
    number = secrets.randbelow(P256_ORDER - 1) + 1
    return base64.urlsafe_b64encode(number.to_bytes(32, "big")).rstrip(b"=").decode()


def secret(name: str) -> str | None:
    """What a secret file of the state folder holds, or None where there is none."""
    path = var_dir() / name
    return path.read_text().strip() if path.is_file() else None


def replace_secret(path: Path, secret: str) -> None:
    """Writes the secret anew in one step: a reader sees the old one or the new one, never half."""
    fresh = path.with_name(f"{path.name}.new")
    fresh.unlink(missing_ok=True)
    keep_secret(fresh, secret)
    fresh.replace(path)
