"""Log lines as JSON, one a line, without the keys that open a customer's page."""

import json
import logging
import re
from datetime import UTC, datetime

# A private link's key is 27 letters or more of URL-safe base 64; nothing else of ours in an address is that long.
KEYS = re.compile(r"(/open/)[^/\s\"'?#]+|(/)[A-Za-z0-9_-]{27,}")
HIDDEN = "…"


def scrub(text: str) -> str:
    """The text with every key replaced by an ellipsis."""
    return KEYS.sub(lambda found: (found[1] or found[2]) + HIDDEN, text)


class Scrub(logging.Filter):
    """Takes private keys out of a record before any handler sees it."""

    def filter(self, record: logging.LogRecord) -> bool:
        record.msg = scrub(record.getMessage())
        record.args = ()
        return True


class Lines(logging.Formatter):
    """{"at", "level", "from", "says"} and "trace" after an error. json.dumps also keeps a line from forging another."""

    def format(self, record: logging.LogRecord) -> str:
        line = {
            "at": datetime.fromtimestamp(record.created, UTC).isoformat(timespec="milliseconds"),
            "level": record.levelname.lower(),
            "from": record.name,
            "says": record.getMessage(),
        }
        if record.exc_info:
            line["trace"] = scrub(self.formatException(record.exc_info))
        return json.dumps(line, ensure_ascii=False)


def config(level: str = "INFO") -> dict[str, object]:
    """The dictConfig for every process: one handler, so that no line takes a way round the filter."""
    return {
        "version": 1,
        "disable_existing_loggers": False,
        "filters": {"scrub": {"()": "portal.logs.Scrub"}},
        "formatters": {"lines": {"()": "portal.logs.Lines"}},
        "handlers": {
            "stderr": {"class": "logging.StreamHandler", "filters": ["scrub"], "formatter": "lines"},
        },
        "root": {"handlers": ["stderr"], "level": level},
        "loggers": {
            "django": {"handlers": [], "level": level, "propagate": True},
            "django.server": {"handlers": [], "level": level, "propagate": True},
            "mail.log": {"level": "WARNING"},
            "celery.app.trace": {"level": "WARNING"},
            "celery.worker.strategy": {"level": "WARNING"},
            "celery.beat": {"level": "WARNING"},
        },
    }
