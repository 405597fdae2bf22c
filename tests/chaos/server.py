"""A mail server with moods. What it keeps is a file, written before it says 250; what it says and when is drawn by lot."""

import asyncio
import random
import re
from collections import Counter
from dataclasses import dataclass, field
from pathlib import Path

from aiosmtpd.controller import Controller
from aiosmtpd.smtp import SMTP, Envelope, Session

from portal.letterbox import keep
from tests.services import free_port

PATIENCE = 2  # seconds that our workers give the server (EMAIL_TIMEOUT)
# How many letters of a thousand meet which mood, before and after their content came.
AT_THE_DOOR = {"busy": 40, "slow down": 10, "closing": 10, "hangs up": 30, "says nothing": 8, "dawdles": 30}
WITH_THE_LETTER = {
    "try later": 30,
    "kept, hung up": 40,
    "kept, answered too late": 12,
    "not kept, hung up": 25,
}
FULL_BOX = re.compile(r"guest\d*7@")  # every tenth mailbox refuses its first letter for good
REPLIES = {
    "busy": "450 4.2.1 mailbox busy",
    "slow down": "450 4.7.1 rate limit exceeded",
    "closing": "421 4.3.2 closing for a moment",
}


@dataclass
class Server:
    folder: Path
    chance: random.Random
    met: Counter[str] = field(default_factory=Counter)
    refused: set[str] = field(default_factory=set)

    def open(self) -> "Server":
        self.controller = Controller(self, hostname="127.0.0.1", port=free_port())
        self.controller.start()
        return self

    @property
    def url(self) -> str:
        return f"smtp://127.0.0.1:{self.controller.port}"

    def close(self) -> None:
        self.controller.stop()

    def mood(self, moods: dict[str, int]) -> str:
        drawn = self.chance.choices([*moods, ""], [*moods.values(), 1000 - sum(moods.values())])[0]
        self.met[drawn or "well"] += 1
        return drawn

    async def handle_RCPT(  # noqa: N802
        self, server: SMTP, session: Session, envelope: Envelope, address: str, options: list[str]
    ) -> str:
        if FULL_BOX.match(address) and address not in self.refused:
            self.refused.add(address)
            self.met["refuses for good, once"] += 1
            return "552 5.2.2 mailbox full"
        mood = self.mood(AT_THE_DOOR)
        if mood == "hangs up":
            server.transport.abort()
        if mood in ("says nothing", "dawdles"):
            await asyncio.sleep(PATIENCE + 1 if mood == "says nothing" else 0.4)
        if mood in REPLIES:
            return REPLIES[mood]
        envelope.rcpt_tos.append(address)
        return "250 ok"

    async def handle_DATA(self, server: SMTP, session: Session, envelope: Envelope) -> str:  # noqa: N802
        mood = self.mood(WITH_THE_LETTER)
        if mood == "try later":
            return "451 4.3.0 try later"
        if not mood.startswith("not kept"):
            await asyncio.to_thread(keep, self.folder, envelope.original_content or b"")
        if mood.endswith("hung up"):
            server.transport.abort()
        if mood.endswith("too late"):
            await asyncio.sleep(PATIENCE + 1)
        return "250 kept"
