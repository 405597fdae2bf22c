"""All settings, from the environment, typed. What is wrong says so at the start and not at the first customer.

Three ways to run: development (DEBUG=1), at home (`make run`, plain http on this machine, secrets made in VAR_DIR), and
production (PUBLIC_BASE_URL starts with https: secure cookies, HSTS, redirects).
"""

import os
from urllib.parse import urlsplit

import dj_database_url
from csp.constants import NONE, SELF
from django.core.exceptions import ImproperlyConfigured
from environs import Env

from portal import logs, mail_address, sqlite, state
from portal.schedule import TIMETABLE
from portal.words.compiling import compiled

env = Env()
BASE_DIR = state.ROOT
VAR_DIR = state.var_dir()

# --- what kind of house this is ---------------------------------------------------------------------------------
DEBUG = env.bool("DEBUG", default=False)
DEMO = env.bool("DEMO", default=False)
PORT = env.int("PORT", default=8000)  # of the web server on this machine
PUBLIC_BASE_URL = env.str("PUBLIC_BASE_URL", default=f"http://localhost:{PORT}").rstrip("/")
PUBLIC = urlsplit(PUBLIC_BASE_URL)
SECURE = PUBLIC.scheme == "https"
if PUBLIC.scheme not in ("http", "https") or not PUBLIC.hostname or PUBLIC.path:
    raise ImproperlyConfigured("PUBLIC_BASE_URL reads https://repairs.example.org, without a path.")

DEVELOPMENT_KEY = "development-only-" + "not-a-secret-" * 3
SECRET_KEY = (
    env.str("SECRET_KEY", default="") or state.secret("secret-key") or (DEVELOPMENT_KEY if DEBUG else "")
)
if not SECRET_KEY:
    raise ImproperlyConfigured(
        "SECRET_KEY is not set. `make run` makes one; elsewhere put 50 random characters into the environment."
    )
if SECRET_KEY == DEVELOPMENT_KEY and (SECURE or not DEBUG):
    raise ImproperlyConfigured(
        "SECRET_KEY is the development key, which everybody can read. Set one of your own."
    )

# Behind a proxy that sets X-Forwarded-Proto itself. A hole where the proxy passes on what the visitor sent.
BEHIND_PROXY = env.bool("BEHIND_PROXY", default=False)
ALLOWED_HOSTS = [PUBLIC.hostname, *env.list("ALLOWED_HOSTS", default=[])]
if not SECURE:
    ALLOWED_HOSTS += ["localhost", "127.0.0.1", "[::1]"]
CSRF_TRUSTED_ORIGINS = [PUBLIC_BASE_URL]
ADMIN_PATH = env.str("ADMIN_PATH", default="").strip("/")  # for emergencies; empty means that there is none

# --- Django ---------------------------------------------------------------------------------------------------------
INSTALLED_APPS = [
    "portal",
    "notifications",
    "jobs",
    "django.contrib.admin",
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "whitenoise.runserver_nostatic",
    "django.contrib.staticfiles",
    "django_htmx",
    "template_partials",
    "csp",
]
MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "django.middleware.gzip.GZipMiddleware",
    "csp.middleware.CSPMiddleware",
    "portal.middleware.say_little",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "portal.middleware.in_the_workshops_time",
    "portal.middleware.in_the_visitors_language",
]
ROOT_URLCONF = "portal.urls"
WSGI_APPLICATION = "portal.wsgi.application"
TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [BASE_DIR / "templates"],
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
                "portal.context.house",
            ],
            # Every page uses these. Partials as a builtin make the move to Django 6 a change of this list alone.
            "builtins": [
                "django.templatetags.i18n",
                "django.templatetags.static",
                "django_htmx.templatetags.django_htmx",
                "template_partials.templatetags.partials",
            ],
        },
    }
]
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"
AUTH_USER_MODEL = "jobs.Staff"
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": f"django.contrib.auth.password_validation.{name}"}
    for name in ("UserAttributeSimilarityValidator", "MinimumLengthValidator", "CommonPasswordValidator")
]
AUTH_PASSWORD_VALIDATORS[1]["OPTIONS"] = {"min_length": 12}
LOGIN_URL = "/staff/"
LOGIN_REDIRECT_URL = "/bench/"
LOGOUT_REDIRECT_URL = "/"

# --- the database ---------------------------------------------------------------------------------------------------
DATABASE_URL = env.str("DATABASE_URL", default=f"sqlite:///{VAR_DIR / 'benchletter.sqlite3'}")
DATABASES = {"default": dict(dj_database_url.parse(DATABASE_URL))}
if DATABASES["default"]["ENGINE"] == "django.db.backends.sqlite3":
    DATABASES["default"]["OPTIONS"] = sqlite.options()
else:
    DATABASES["default"] |= {"CONN_MAX_AGE": 60, "CONN_HEALTH_CHECKS": True}
# An action owns its transaction. One per request would hold SQLite's only write lock through every page.
DATABASES["default"]["ATOMIC_REQUESTS"] = False

# --- language and time ----------------------------------------------------------------------------------------------
LANGUAGE_CODE = "en-gb"
LANGUAGES = [
    ("en-gb", "English"),
    ("de", "Deutsch"),
]  # customers are offered these; who works here, English only
LOCALE_PATHS = compiled(BASE_DIR, VAR_DIR / "locale")
LANGUAGE_COOKIE_NAME = "__Host-language" if SECURE else "language"
LANGUAGE_COOKIE_AGE = 365 * 24 * 3600
LANGUAGE_COOKIE_SECURE = SECURE
LANGUAGE_COOKIE_HTTPONLY = True
LANGUAGE_COOKIE_SAMESITE = "Lax"
TIME_ZONE = env.str("TIME_ZONE", default="Europe/London")
USE_I18N = True
USE_TZ = True

# --- files ----------------------------------------------------------------------------------------------------------
MEDIA_ROOT = VAR_DIR / "media"  # private: photographs are served by a view that asks who is looking
MEDIA_URL = ""
STATIC_URL = "static/"
STATIC_ROOT = VAR_DIR / "static"
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {
        "BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"
        if DEBUG
        else "whitenoise.storage.CompressedManifestStaticFilesStorage"
    },
}
FILE_UPLOAD_PERMISSIONS = 0o600
FILE_UPLOAD_DIRECTORY_PERMISSIONS = 0o700
DATA_UPLOAD_MAX_MEMORY_SIZE = 1_000_000  # bytes of fields; photographs have their own bound
DATA_UPLOAD_MAX_NUMBER_FILES = 20
HEIC = env.bool("HEIC", default=False)

# --- what browsers are told -----------------------------------------------------------------------------------------
CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": [NONE],
        "script-src": [SELF],
        "style-src": [SELF],
        "img-src": [SELF],
        "font-src": [SELF],
        "connect-src": [SELF],
        "manifest-src": [SELF],
        "worker-src": [SELF],
        "form-action": [SELF],
        "base-uri": [NONE],
        "object-src": [NONE],
        "frame-ancestors": [NONE],
    }
}
# Not no-referrer: with it a browser sends `Origin: null` with our own forms, and CSRF protection turns them away.
# Nothing leaves for another site either way. /open/ itself answers with no-referrer.
SECURE_REFERRER_POLICY = "same-origin"
X_FRAME_OPTIONS = "DENY"
SESSION_COOKIE_NAME = "__Host-sessionid" if SECURE else "sessionid"
SESSION_COOKIE_SECURE = CSRF_COOKIE_SECURE = SECURE
SESSION_COOKIE_HTTPONLY = CSRF_COOKIE_HTTPONLY = True
SESSION_COOKIE_SAMESITE = CSRF_COOKIE_SAMESITE = (
    "Lax"  # Strict would lose the session of who comes from a letter
)
SESSION_COOKIE_AGE = 14 * 24 * 3600
CSRF_COOKIE_NAME = "__Host-csrftoken" if SECURE else "csrftoken"
CSRF_COOKIE_AGE = None
CSRF_FAILURE_VIEW = "portal.errors.csrf_failure"
if SECURE:
    SECURE_SSL_REDIRECT = True
    SECURE_REDIRECT_EXEMPT = [r"^healthz$"]  # a monitor on the same machine asks without TLS
    SECURE_HSTS_SECONDS = env.int("HSTS_SECONDS", default=365 * 24 * 3600)
    SECURE_HSTS_INCLUDE_SUBDOMAINS = SECURE_HSTS_PRELOAD = True
if BEHIND_PROXY:
    SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https")

# --- mail -----------------------------------------------------------------------------------------------------------
LETTERBOX_PORT = env.int("LETTERBOX_PORT", default=8025)
LETTERBOX_DIR = VAR_DIR / "letterbox"
SMTP_URL = env.str("SMTP_URL", default=f"smtp://127.0.0.1:{LETTERBOX_PORT}")
EMAIL_BACKEND = "django.core.mail.backends.smtp.EmailBackend"
MAIL = mail_address.read(SMTP_URL)
# Without a server of its own, a workshop's letters stay in the letterbox on this machine. The demo wants them there.
LETTERS_STAY_HERE = not DEMO and not env.str("SMTP_URL", default="")
EMAIL_HOST = MAIL["EMAIL_HOST"]
EMAIL_PORT = MAIL["EMAIL_PORT"]
EMAIL_HOST_USER = MAIL["EMAIL_HOST_USER"]
EMAIL_HOST_PASSWORD = MAIL["EMAIL_HOST_PASSWORD"]
EMAIL_USE_TLS = MAIL["EMAIL_USE_TLS"]
EMAIL_USE_SSL = MAIL["EMAIL_USE_SSL"]
EMAIL_TIMEOUT = env.int("EMAIL_TIMEOUT", default=10)
DEFAULT_FROM_EMAIL = env.str("FROM_EMAIL", default="workshop@localhost")
SERVER_EMAIL = DEFAULT_FROM_EMAIL

# --- text messages and notices ---------------------------------------------------------------------------------------
# The private key by which push services know us (RFC 8292). A new one ends every subscription; "" turns notices off.
VAPID_KEY = env.str("VAPID_KEY", default=state.secret(state.VAPID_KEY) or "")
PUSH_HOSTS = env.list("PUSH_HOSTS", default=[])  # push services beside the well-known ones

# A provider instead of SMTP: the name of a django-anymail backend, in small letters. What it needs is named ANYMAIL_... in the environment,
# as its documentation names it, with ANYMAIL_ in front. It tells what became of letters at /hooks/mail/<name>/tracking/, and
# brings replies to /hooks/mail/<name>/inbound/; both prove themselves by ANYMAIL_WEBHOOK_SECRET ("name:password").
MAIL_PROVIDER = env.str("MAIL_PROVIDER", default="")
ANYMAIL = {
    "REQUESTS_TIMEOUT": EMAIL_TIMEOUT,
    **{
        name.removeprefix("ANYMAIL_"): value
        for name, value in os.environ.items()
        if name.startswith("ANYMAIL_")
    },
}
# Where a provider takes replies in: any name in front of its inbound domain. Signed addresses are made from it.
REPLY_ADDRESS = env.str("REPLY_ADDRESS", default="")

# --- background work ------------------------------------------------------------------------------------------------
# The broker only wakes; what is owed stands in the database. So messages carry ids and may be lost or come twice.
BROKER_URL = env.str("BROKER_URL", default="") or state.secret("broker-url") or "redis://127.0.0.1:6379/0"
BROKER_TIMEOUT = env.float("BROKER_TIMEOUT", default=0.5)  # seconds; a page must not wait for a frozen broker
VISIBILITY_TIMEOUT = 300  # seconds; longer than any task may run, short enough after a power cut
CELERY_BROKER_URL = BROKER_URL
CELERY_BROKER_TRANSPORT_OPTIONS = {
    "global_keyprefix": "benchletter:",
    "visibility_timeout": VISIBILITY_TIMEOUT,
    "unacked_restore_interval": 5,
    "unacked_restore_throttle": 1,
    "socket_timeout": BROKER_TIMEOUT,
    "socket_connect_timeout": BROKER_TIMEOUT,
    "socket_keepalive": True,
    "health_check_interval": 25,
    # The client's own second and third tries would sleep 2 and 4 s inside the page. One more, at once, is enough.
    "max_retries": 1,
    "interval_start": 0,
    "interval_step": 0,
}
CELERY_VISIBILITY_TIMEOUT = VISIBILITY_TIMEOUT
CELERY_BROKER_CONNECTION_RETRY_ON_STARTUP = True
CELERY_BROKER_CONNECTION_MAX_RETRIES = None
CELERY_TASK_IGNORE_RESULT = True
CELERY_TASK_SERIALIZER = "json"
CELERY_ACCEPT_CONTENT = ["json"]
CELERY_TASK_ACKS_LATE = True
CELERY_TASK_DEFAULT_QUEUE = "notify"
CELERY_TASK_ROUTES = {"jobs.*": {"queue": "media"}}  # photographs: a slow one must not hold up a letter
CELERY_TASK_SOFT_TIME_LIMIT = 40
CELERY_TASK_TIME_LIMIT = 50
CELERY_TASK_PUBLISH_RETRY = False
CELERY_WORKER_PREFETCH_MULTIPLIER = 1
CELERY_WORKER_SOFT_SHUTDOWN_TIMEOUT = 20
CELERY_WORKER_ENABLE_SOFT_SHUTDOWN_ON_IDLE = True
CELERY_WORKER_ENABLE_REMOTE_CONTROL = False
CELERY_WORKER_CANCEL_LONG_RUNNING_TASKS_ON_CONNECTION_LOSS = False
CELERY_WORKER_MAX_TASKS_PER_CHILD = 500
CELERY_TIMEZONE = TIME_ZONE
CELERY_BEAT_SCHEDULE = TIMETABLE

LOG_LEVEL = env.log_level("LOG_LEVEL", default="INFO")
LOGGING = logs.config(LOG_LEVEL)
