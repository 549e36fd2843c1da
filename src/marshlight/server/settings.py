"""Django settings: records, accounts and pages on one machine by default."""

import os

from marshlight.notebook.store import database_settings

SECRET_KEY = os.environ.get("MARSHLIGHT_SECRET_KEY", "only-for-loopback")
DEBUG = False
ALLOWED_HOSTS = ["localhost", "127.0.0.1", "[::1]"]

INSTALLED_APPS = [
    "django.contrib.contenttypes",
    "django.contrib.auth",
    "django.contrib.sessions",
    "django.contrib.messages",
    "django.contrib.staticfiles",
    "marshlight.notebook",
    "marshlight.server",
]

DATABASES = {"default": database_settings(os.environ)}
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

USE_TZ = True
TIME_ZONE = "UTC"
LANGUAGE_CODE = "en-gb"
