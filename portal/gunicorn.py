"""How the web server runs: a few processes with a few threads, and log lines that never hold a key."""

import os

from portal import logs

bind = f"{os.environ.get('BIND', '127.0.0.1')}:{os.environ.get('PORT', '8000')}"
workers = int(os.environ.get("WEB_WORKERS", "2"))
threads = int(os.environ.get("WEB_THREADS", "4"))
worker_class = "gthread"
timeout = 30
graceful_timeout = 20
keepalive = 5
max_requests = 2000
max_requests_jitter = 200
accesslog = "-"
access_log_format = "%(m)s %(U)s %(s)s %(B)s bytes %(M)s ms"  # no query, no address, no browser
logconfig_dict = logs.config() | {
    "loggers": {
        name: {"level": "INFO", "handlers": ["stderr"], "propagate": False}
        for name in ("gunicorn.error", "gunicorn.access")
    }
}
control_socket_disable = True
