"""Django settings: records, accounts and pages; open only when served on loopback."""

import os
from datetime import timedelta

# Before numpy loads: the fits solve thousands of tiny systems, where threads of the linear algebra
# library only wait for each other (measured on two cores: 12 s against 0.8 s for one run).
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

from csp.constants import NONE, SELF

from marshlight.notebook.store import database_settings, notebook_path
from marshlight.server.secret import secret_key


def _listed(name: str) -> list[str]:
    return [part.strip() for part in os.environ.get(name, "").split(",") if part.strip()]


# Only `serve` sets this, and only for a loopback address: forgetting it closes the door.
MARSHLIGHT_LOOPBACK = os.environ.get("MARSHLIGHT_LOOPBACK") == "1"
# Only a server that stays up gains from working ahead.
MARSHLIGHT_AHEAD = os.environ.get("MARSHLIGHT_AHEAD") == "1"
MARSHLIGHT_HTTPS = os.environ.get("MARSHLIGHT_HTTPS") == "1"

SECRET_KEY = secret_key(os.environ)
DEBUG = False
ALLOWED_HOSTS = ["localhost", "127.0.0.1", "[::1]", *_listed("MARSHLIGHT_HOSTS")]
CSRF_TRUSTED_ORIGINS = [f"https://{host}" for host in _listed("MARSHLIGHT_HOSTS")]

INSTALLED_APPS = [
    "django.contrib.contenttypes",
    "django.contrib.auth",
    "django.contrib.sessions",
    "django.contrib.messages",
    "django.contrib.staticfiles",
    "axes",
    "csp",
    "django_htmx",
    "marshlight.notebook",
    "marshlight.server",
]

MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "csp.middleware.CSPMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "marshlight.server.door.Door",
    "marshlight.server.troubles.Troubles",
    "axes.middleware.AxesMiddleware",
]

ROOT_URLCONF = "marshlight.server.urls"
WSGI_APPLICATION = "marshlight.server.wsgi.application"

TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
                "marshlight.server.context.frame",
            ],
        },
    }
]

DATABASES = {"default": database_settings(os.environ)}
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

# ---- accounts ----

AUTHENTICATION_BACKENDS = [
    "axes.backends.AxesStandaloneBackend",
    "django.contrib.auth.backends.ModelBackend",
]
PASSWORD_HASHERS = ["django.contrib.auth.hashers.Argon2PasswordHasher"]
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": "django.contrib.auth.password_validation.UserAttributeSimilarityValidator"},
    {
        "NAME": "django.contrib.auth.password_validation.MinimumLengthValidator",
        "OPTIONS": {"min_length": 10},
    },
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
    {"NAME": "django.contrib.auth.password_validation.NumericPasswordValidator"},
]
LOGIN_URL = "log-in"
LOGIN_REDIRECT_URL = "overview"
LOGOUT_REDIRECT_URL = "log-in"
# Locked by name and address together: a pupil guessing the teacher's password locks out that
# pupil's machine, not the teacher.
AXES_FAILURE_LIMIT = 5
AXES_COOLOFF_TIME = timedelta(minutes=15)
AXES_LOCKOUT_PARAMETERS = [["username", "ip_address"]]
AXES_LOCKOUT_TEMPLATE = "server/locked_out.html"
AXES_RESET_ON_SUCCESS = True
AXES_VERBOSE = False

SESSION_COOKIE_AGE = int(timedelta(days=30).total_seconds())
SESSION_COOKIE_HTTPONLY = True
SESSION_COOKIE_SAMESITE = "Lax"
SESSION_COOKIE_SECURE = MARSHLIGHT_HTTPS
SESSION_COOKIE_NAME = "marshlight_session"
CSRF_COOKIE_NAME = "marshlight_csrf"
CSRF_COOKIE_SECURE = MARSHLIGHT_HTTPS
CSRF_COOKIE_HTTPONLY = True
CSRF_COOKIE_SAMESITE = "Lax"
CSRF_FAILURE_VIEW = "marshlight.server.troubles.stale_form"

# ---- what a browser may do with our pages ----

CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": [NONE],
        "script-src": [SELF],
        "style-src": [SELF],
        "img-src": [SELF, "data:"],
        "connect-src": [SELF],
        "manifest-src": [SELF],
        "form-action": [SELF],
        "frame-ancestors": [NONE],
        "base-uri": [NONE],
        "object-src": [NONE],
    }
}
SECURE_CONTENT_TYPE_NOSNIFF = True
SECURE_REFERRER_POLICY = "same-origin"
SECURE_CROSS_ORIGIN_OPENER_POLICY = "same-origin" if MARSHLIGHT_HTTPS else None
X_FRAME_OPTIONS = "DENY"
# Uploads are logs of readings: 32 MiB holds several hundred thousand rows.
DATA_UPLOAD_MAX_MEMORY_SIZE = 8 * 2**20
FILE_UPLOAD_MAX_MEMORY_SIZE = 8 * 2**20
MARSHLIGHT_LARGEST_UPLOAD = 32 * 2**20

# ---- files that never change while we run ----

STATIC_URL = "/static/"
STATIC_ROOT = None
WHITENOISE_USE_FINDERS = True
# Short, as the addresses of these files do not change when their content does.
WHITENOISE_MAX_AGE = 300
WHITENOISE_ALLOW_ALL_ORIGINS = False

_AHEAD_CACHE = {
    # A restart finds what was worked out before. Only this program writes in this folder, which
    # is the owner's alone, like the notebook beside it.
    "BACKEND": "django.core.cache.backends.filebased.FileBasedCache",
    "LOCATION": str(notebook_path(os.environ).with_name("analyses")),
    "TIMEOUT": None,
    # Analysis, lives and outlook of some thousands of runs; about half a megabyte a run.
    "OPTIONS": {"MAX_ENTRIES": 30_000},
}
CACHES = {
    "analyses": _AHEAD_CACHE
    if MARSHLIGHT_AHEAD
    else {"BACKEND": "django.core.cache.backends.dummy.DummyCache"},
    "default": {
        "BACKEND": "django.core.cache.backends.locmem.LocMemCache",
        "OPTIONS": {"MAX_ENTRIES": 500},
    },
}

USE_TZ = True
TIME_ZONE = "UTC"
LANGUAGE_CODE = "en-gb"
USE_I18N = False

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "handlers": {"console": {"class": "logging.StreamHandler"}},
    "root": {"handlers": ["console"], "level": "WARNING"},
    "loggers": {"axes": {"level": "WARNING"}, "django.request": {"level": "ERROR"}},
}
