"""Django's settings, from the environment that `ledger.start.start` makes. Reading them writes nothing to the disk.

`BLOCKWRIGHT_SHOP=1`: tablets reach this bench over the shop's network, and people say who they are.
`BLOCKWRIGHT_HOSTS`: the names and addresses by which they reach it, apart by commas.
"""

from __future__ import annotations

import os
from importlib import import_module

from blockwright.bench import static_headers
from blockwright.bench.secure.names import allowed_hosts
from blockwright.bench.telling import configured
from blockwright.ledger.place import data_folder, database_url, databases, secret_key
from blockwright.ledger.zone import local_zone

DATA = data_folder()
DATABASES = databases(DATA, database_url())
SECRET_KEY = secret_key(DATA)
SHOP = os.environ.get("BLOCKWRIGHT_SHOP") == "1"
DEBUG = False
ALLOWED_HOSTS = allowed_hosts(os.environ.get("BLOCKWRIGHT_HOSTS", "") if SHOP else "")
BENCH_ACTOR = "blockwright.bench.people.acting.actor_of" if SHOP else "blockwright.bench.access.local_actor"

INSTALLED_APPS = [
    "django.contrib.contenttypes",
    "django.contrib.auth",
    "django.contrib.sessions",
    "django.contrib.staticfiles",
    "django_htmx",
    "ninja",
    "blockwright.ledger",
    "blockwright.bench",
]
MIDDLEWARE = [
    "blockwright.bench.secure.headers.Headers",
    "blockwright.bench.api.heads.Heads",
    "blockwright.bench.api.refusing.Spoken",
    "django.middleware.security.SecurityMiddleware",
    "blockwright.bench.static_files.Files",
    "blockwright.bench.squeezing.Squeezed",
    "blockwright.bench.middleware.Told",
    "blockwright.bench.middleware.Limits",
    "blockwright.bench.secure.doors.Door",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "blockwright.bench.people.sessions.Idle",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "blockwright.bench.middleware.Hands",
    "blockwright.bench.middleware.Refused",
]
ROOT_URLCONF = "blockwright.bench.urls"
WSGI_APPLICATION = "blockwright.bench.wsgi.application"
TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": ["django.template.context_processors.request", "blockwright.bench.context.page"],
            "builtins": ["django.templatetags.static", "blockwright.bench.templatetags.bench"],
        },
    }
]
STATIC_URL = "/static/"
STATICFILES_DIRS = [("fonts", import_module("font_source_sans_pro").font_directory)]
WHITENOISE_USE_FINDERS = True
WHITENOISE_AUTOREFRESH = False
WHITENOISE_MAX_AGE = 0
WHITENOISE_MIMETYPES = {".otf": "font/otf", ".webmanifest": "application/manifest+json"}
WHITENOISE_ADD_HEADERS_FUNCTION = static_headers.add

LOGIN_URL = "/in/"
SESSION_COOKIE_NAME, CSRF_COOKIE_NAME = [f"__Host-{each}" if SHOP else each for each in ("bw_session", "bw_csrf")]
SESSION_COOKIE_AGE = 7 * 24 * 3600
SESSION_COOKIE_SAMESITE = CSRF_COOKIE_SAMESITE = "Lax"
SESSION_COOKIE_SECURE = CSRF_COOKIE_SECURE = SHOP
CSRF_FAILURE_VIEW = "blockwright.bench.views.errors.stale"
X_FRAME_OPTIONS = "DENY"
SECURE_REFERRER_POLICY = "same-origin"
DATA_UPLOAD_MAX_MEMORY_SIZE = 2 * 1024 * 1024
DATA_UPLOAD_MAX_NUMBER_FIELDS = 2000

LOGGING = configured(os.environ.get("BLOCKWRIGHT_LOG", "INFO"))
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"
PASSWORD_HASHERS = [
    "django.contrib.auth.hashers.Argon2PasswordHasher",
    "django.contrib.auth.hashers.PBKDF2PasswordHasher",
]
USE_TZ = True
TIME_ZONE = local_zone()
LANGUAGE_CODE = "en-gb"
USE_I18N = False
