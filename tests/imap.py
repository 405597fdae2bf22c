"""A small IMAP server over a real socket: as much of RFC 3501 as reading one folder needs, and it notes every command.

Messages are numbered as the RFC has it (UID and UIDVALIDITY). LOGIN, CAPABILITY, SELECT/EXAMINE, STATUS, UID SEARCH (a range, ALL or
SINCE, which finds all from `late_from`), UID FETCH (BODY.PEEK[] or its HEADER, and BODY[], which marks as seen), LOGOUT. Anything else
is BAD.
"""

import re
import socketserver
import threading
from dataclasses import dataclass, field


@dataclass
class Message:
    uid: int
    raw: bytes
    flags: set[str] = field(default_factory=set)


class Mailbox:
    """`mode`: "ok", "hang up" (at the next FETCH), "no login", "no body" (it has lost them), "no head"."""

    def __init__(self) -> None:
        self.messages: list[Message] = []
        self.valid, self.next_uid = 7, 1
        self.mode = "ok"
        self.late_from = 0  # messages with smaller numbers are too old for SINCE
        self.commands: list[str] = []
        self.server = socketserver.ThreadingTCPServer(("127.0.0.1", 0), _Talk, bind_and_activate=True)
        self.server.daemon_threads = True
        self.server.mailbox = self  # type: ignore[attr-defined]
        threading.Thread(
            target=self.server.serve_forever, kwargs={"poll_interval": 0.05}, daemon=True
        ).start()

    @property
    def port(self) -> int:
        return int(self.server.server_address[1])

    def put(self, raw: bytes) -> int:
        """A message arrives; its UID."""
        self.messages.append(Message(self.next_uid, raw))
        self.next_uid += 1
        return self.messages[-1].uid

    def number_anew(self, first: int = 1) -> None:
        """As after the server's own repair: other numbers, another UIDVALIDITY."""
        self.valid += 1
        self.next_uid = first
        for message in self.messages:
            message.uid, self.next_uid = self.next_uid, self.next_uid + 1

    def close(self) -> None:
        self.server.shutdown()
        self.server.server_close()


class _Talk(socketserver.StreamRequestHandler):
    def handle(self) -> None:
        self.box: Mailbox = self.server.mailbox  # type: ignore[attr-defined]
        self.read_only = False
        self.say(b"* OK ready")
        while line := self.rfile.readline():
            words = line.decode().strip().split(" ", 2)
            tag, verb, rest = words[0], words[1].upper(), words[2] if len(words) > 2 else ""
            self.box.commands.append(f"{verb} {rest}" if verb != "LOGIN" else "LOGIN")
            answer = getattr(self, f"do_{verb.lower()}", None)
            said = answer(rest) if answer else "BAD what?"
            if said is None:
                return
            self.say(f"{tag} {said}".encode())
            if verb == "LOGOUT":
                return

    def say(self, line: bytes) -> None:
        self.wfile.write(line + b"\r\n")

    def do_capability(self, rest: str) -> str:
        self.say(b"* CAPABILITY IMAP4rev1")
        return "OK done"

    def do_login(self, rest: str) -> str:
        right = self.box.mode != "no login" and rest == '"bench" "a password"'
        return "OK done" if right else "NO [AUTHENTICATIONFAILED] no"

    def do_select(self, rest: str) -> str:
        self.read_only = False
        return self._open(rest)

    def do_examine(self, rest: str) -> str:
        self.read_only = True
        return self._open(rest)

    def _open(self, rest: str) -> str:
        if rest.strip('"') != "INBOX":
            return "NO no such folder"
        self.say(b"* %d EXISTS" % len(self.box.messages))
        self.say(b"* OK [UIDVALIDITY %d]" % self.box.valid)
        return "OK [READ-ONLY] done" if self.read_only else "OK [READ-WRITE] done"

    def do_status(self, rest: str) -> str:
        told = b'* STATUS "INBOX" (UIDVALIDITY %d UIDNEXT %d)' % (self.box.valid, self.box.next_uid)
        self.say(told)
        return "OK done"

    def do_uid(self, rest: str) -> str | None:
        verb, _blank, what = rest.partition(" ")
        return self._search(what) if verb.upper() == "SEARCH" else self._fetch(what)

    def _search(self, what: str) -> str:
        found = [message.uid for message in self.box.messages]
        if "SINCE" in what:
            found = [uid for uid in found if uid >= self.box.late_from]
        if span := re.search(r"UID (\d+):\*", what):
            last = max(found, default=0)
            found = [uid for uid in found if uid >= int(span[1]) or uid == last]
        self.say(("* SEARCH " + " ".join(map(str, found))).encode().rstrip())
        return "OK done"

    def _fetch(self, what: str) -> str | None:
        if self.box.mode == "hang up":
            return None
        uid, _blank, items = what.partition(" ")
        if self.box.mode == ("no head" if "[HEADER]" in items.upper() else "no body"):
            return "NO it cannot be read"
        for place, message in enumerate(self.box.messages, 1):
            if message.uid == int(uid):
                self._tell(place, message, items.upper())
        return "OK done"

    def _tell(self, place: int, message: Message, items: str) -> None:
        if "BODY.PEEK" not in items and not self.read_only:
            message.flags.add("\\Seen")
        part = "HEADER" if "[HEADER]" in items else ""
        raw = message.raw[: message.raw.find(b"\r\n\r\n") + 4] if part else message.raw
        flags = " ".join(message.flags)
        head = f"* {place} FETCH (UID {message.uid} FLAGS ({flags}) RFC822.SIZE {len(message.raw)} BODY[{part}] {{{len(raw)}}}"
        self.wfile.write(head.encode() + b"\r\n" + raw + b")\r\n")

    def do_logout(self, rest: str) -> str:
        self.say(b"* BYE")
        return "OK done"
