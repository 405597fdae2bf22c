"""The processes of a house under attack: broker, two workers, beat; each can be killed and comes back by itself."""

import random
import sys
from collections import Counter
from pathlib import Path

import psutil
import redis

from portal.celery import app
from tests import services


class Hasty(services.Worker):
    """A worker that nobody waits for."""

    def is_ready(self) -> bool:
        return True


class Beat(Hasty):
    """A real `celery beat` with the real timetable."""

    def __init__(self, log: Path, **environment: str) -> None:
        super().__init__(log, **environment)
        self.command = [sys.executable, "-m", "celery", "--app", "portal", "beat"]
        self.command += ["--schedule", f"{log}.schedule", "--pidfile", ""]


class House:
    def __init__(self, folder: Path, chance: random.Random, **environment: str) -> None:
        self.folder, self.chance = folder, chance
        self.broker = services.Valkey(folder / "valkey")
        self.environment = environment | {"VAR_DIR": str(folder), "BROKER_URL": self.broker.url}
        self.processes: dict[str, services.Worker] = {}
        self.suffered: Counter[str] = Counter()
        self._was = app.conf.broker_url

    def open(self) -> "House":
        self.broker.start()
        talk_to(self.broker.url)
        self.look_after()
        return self

    def look_after(self) -> None:
        """Start whatever does not run, as a supervisor would."""
        for name, kind in (("worker 1", Hasty), ("worker 2", Hasty), ("beat", Beat)):
            running = self.processes.get(name)
            if running is None or running.process is None or running.process.poll() is not None:
                log = self.folder / f"{name}-{sum(self.suffered.values())}.log"
                given = {"queues": "notify"} if kind is Hasty else {}
                self.processes[name] = kind(log, **given, **self.environment).start()

    def suffer(self) -> None:
        """One blow, by lot."""
        blows = {
            self.kill_a_worker: 8,
            self.kill_a_child: 4,
            self.kill_the_broker: 3,
            self.empty_the_broker: 3,
            self.freeze_the_broker: 1,
            self.kill_beat: 1,
        }
        blow = self.chance.choices(list(blows), list(blows.values()))[0]
        blow()
        self.suffered[blow.__name__.replace("_", " ")] += 1

    def kill_a_worker(self) -> None:
        self.processes[f"worker {self.chance.choice((1, 2))}"].kill()

    def kill_a_child(self) -> None:
        """As when memory runs out: the one that runs the tasks, not the worker."""
        worker = self.processes[f"worker {self.chance.choice((1, 2))}"]
        if worker.process is not None and psutil.pid_exists(worker.process.pid):
            worker.kill_child()

    def kill_beat(self) -> None:
        self.processes["beat"].kill()

    def kill_the_broker(self) -> None:
        self.broker.kill()
        self.broker.start()

    def empty_the_broker(self) -> None:
        with redis.Redis.from_url(self.broker.url) as client:
            client.flushall()

    def freeze_the_broker(self) -> None:
        self.broker.freeze()
        services.time.sleep(1.5)
        self.broker.thaw()

    def close(self) -> None:
        for process in self.processes.values():
            if process.process is not None and process.process.poll() is None:
                process.kill()
        talk_to(self._was)
        self.broker.stop()


def talk_to(url: str) -> None:
    """Point this process's app at another broker; its pools remember the old one."""
    app.conf.broker_url = url
    app.amqp._producer_pool = None
    app._pool = None
