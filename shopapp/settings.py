"""Settings of the whole app, read from the environment; `manage.py up` sets what a maker needs."""

from __future__ import annotations

import os
import sqlite3
from pathlib import Path

from shopapp.env import (
    env_bool,
    env_list,
    env_text,
    mail_from_url,
    postgres_from_url,
    safe_journal_mode,
    secret_key,
)

BASE_DIR = Path(__file__).resolve().parent.parent
# Demo and shop keep separate data folders; the bootstrap names the one in use.
DATA = Path(env_text("KERFSTEAD_DATA") or BASE_DIR / "data" / "demo")
IS_DEMO = (DATA / "demo").exists()

SECRET_KEY = secret_key(DATA)
DEBUG = env_bool("KERFSTEAD_DEBUG", default=False)
ALLOWED_HOSTS = ["localhost", "127.0.0.1", "[::1]", *env_list("KERFSTEAD_HOSTS")]
CSRF_TRUSTED_ORIGINS = [f"https://{host}" for host in env_list("KERFSTEAD_HOSTS")]
# Behind a proxy that ends TLS: cookies only over HTTPS, and the proxy's word for the scheme is taken.
BEHIND_TLS = env_bool("KERFSTEAD_TLS", default=False)
if BEHIND_TLS:
    SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https")
    SECURE_SSL_REDIRECT = True
    SECURE_HSTS_SECONDS = 31_536_000
    SECURE_HSTS_INCLUDE_SUBDOMAINS = True
    SECURE_HSTS_PRELOAD = True
SESSION_COOKIE_SECURE = CSRF_COOKIE_SECURE = BEHIND_TLS
# How many proxies of the shop's own stand in front; the throttle takes the client's address from the last of them.
TRUSTED_PROXIES = int(env_text("KERFSTEAD_PROXIES", "1" if BEHIND_TLS else "0"))
SECURE_REFERRER_POLICY = "same-origin"
X_FRAME_OPTIONS = "DENY"
SESSION_COOKIE_SAMESITE = "Lax"
SESSION_COOKIE_HTTPONLY = True

INSTALLED_APPS = [
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "django.contrib.staticfiles",
    "django_htmx",
    "django_tasks",
    "django_tasks_db",
    "shopapp.common",
    "shopapp.people",
    "shopapp.workshop",
    "shopapp.schedule",
    "shopapp.lumber",
    "shopapp.designs",
    "shopapp.plans",
    "shopapp.payments",
    "shopapp.quotes",
    "shopapp.jobs",
    "shopapp.listings",
    "shopapp.books",
    "shopapp.home",
]

MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "shopapp.common.middleware.ContentPolicyMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "shopapp.common.middleware.SignInMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
]

ROOT_URLCONF = "shopapp.urls"
WSGI_APPLICATION = "shopapp.wsgi.application"

TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [BASE_DIR / "templates"],
        "APP_DIRS": False,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
                "shopapp.workshop.readers.shop_context",
            ],
            "builtins": ["shopapp.common.templatetags.shop"],
            "libraries": {},
        },
    }
]

if url := env_text("DATABASE_URL"):
    DATABASES = {"default": postgres_from_url(url)}
else:
    JOURNAL = env_text("KERFSTEAD_JOURNAL") or safe_journal_mode(sqlite3.sqlite_version_info)
    DATABASES = {
        "default": {
            "ENGINE": "django.db.backends.sqlite3",
            "NAME": DATA / "shop.sqlite3",
            "CONN_MAX_AGE": 600,
            "OPTIONS": {
                "transaction_mode": "IMMEDIATE",
                "timeout": 20,
                # FULL: an accepted quote must survive the plug being pulled. Secure: what is written over is gone from
                # the file too, or an erased name would lie in its free places.
                "init_command": f"PRAGMA journal_mode={JOURNAL}; PRAGMA synchronous=FULL; PRAGMA secure_delete=ON; "
                "PRAGMA foreign_keys=ON; PRAGMA cache_size=-16000; PRAGMA temp_store=MEMORY;",
            },
            # Two runs of the tests at once do not meet.
            "TEST": {"NAME": DATA / f"test-{os.getpid()}.sqlite3"},
        }
    }
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

AUTH_USER_MODEL = "people.Member"
LOGIN_URL = "people:sign_in"
LOGIN_REDIRECT_URL = "home:start"
LOGOUT_REDIRECT_URL = "people:sign_in"
PASSWORD_HASHERS = [
    "django.contrib.auth.hashers.Argon2PasswordHasher",
    "django.contrib.auth.hashers.PBKDF2PasswordHasher",
]
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": "shopapp.people.passwords.LongEnough", "OPTIONS": {"min_length": 12}},
    {"NAME": "shopapp.people.passwords.NotCommon"},
    {"NAME": "shopapp.people.passwords.NotOnesName"},
]

LANGUAGE_CODE = "en-gb"
USE_I18N = False
USE_TZ = True
TIME_ZONE = env_text("KERFSTEAD_TIME_ZONE", "UTC")

STATIC_URL = "/static/"
STATIC_ROOT = DATA / "static"
# The fonts are subset from an installed package when the machine is set up, so they are not in the tree.
STATICFILES_DIRS = [BASE_DIR / "static", *([DATA / "web"] if (DATA / "web").exists() else [])]
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {"BACKEND": "whitenoise.storage.CompressedManifestStaticFilesStorage"},
}
# Modules that another module imports have no hash in their names; a browser asks each time whether they are as they
# were, so that old and new never work together after an upgrade. What has a hash is kept for good all the same.
WHITENOISE_MAX_AGE = 0
# Pictures, papers and uploads waiting to be decoded; served only through views that check who asks.
FILES = DATA / "files"
DATA_UPLOAD_MAX_MEMORY_SIZE = 4 * 1024 * 1024
FILE_UPLOAD_MAX_MEMORY_SIZE = 2 * 1024 * 1024
FILE_UPLOAD_HANDLERS = [
    "shopapp.common.uploads.CappedUpload",
    "django.core.files.uploadhandler.MemoryFileUploadHandler",
    "django.core.files.uploadhandler.TemporaryFileUploadHandler",
]

TASKS = {"default": {"BACKEND": "django_tasks_db.DatabaseBackend", "QUEUES": ["default", "aside"]}}
# What one background task may take before it is ended; a task may say for itself that it takes longer.
TASK_SECONDS = 120
TASK_MEMORY_MB = 1536

# How letters go out. The demo writes them into its data folder; a shop says where its mail server is, or sends none.
if url := env_text("KERFSTEAD_MAIL"):
    _mail = mail_from_url(url)
else:
    _mail = {"BACKEND": "filebased", "FOLDER": str(DATA / "letters")} if IS_DEMO else {}
EMAIL_BACKEND = f"django.core.mail.backends.{_mail.get('BACKEND', 'dummy')}.EmailBackend"
# "server", "folder", or nothing where letters are not set up.
MAIL_GOES = {"smtp": "server", "filebased": "folder"}.get(_mail.get("BACKEND", ""), "")
EMAIL_FILE_PATH = _mail.get("FOLDER", "")
EMAIL_HOST, EMAIL_PORT = _mail.get("HOST", ""), _mail.get("PORT", 0)
EMAIL_HOST_USER, EMAIL_HOST_PASSWORD = _mail.get("USER", ""), _mail.get("PASSWORD", "")
EMAIL_USE_TLS, EMAIL_USE_SSL = _mail.get("USE_TLS", False), _mail.get("USE_SSL", False)
EMAIL_TIMEOUT = 20
DEFAULT_FROM_EMAIL = env_text("KERFSTEAD_MAIL_FROM")
# Where customers find this machine, such as https://boards.example.org; else the address it is being used at.
PUBLIC_ROOT = env_text("KERFSTEAD_ADDRESS").rstrip("/")

# The same name and shape as the framework's own setting in its next series.
SECURE_CSP = {
    "default-src": ["'none'"],
    "script-src": ["'self'"],
    "style-src": ["'self'"],
    "img-src": ["'self'"],
    "font-src": ["'self'"],
    "connect-src": ["'self'"],
    "form-action": ["'self'"],
    "frame-ancestors": ["'none'"],
    "base-uri": ["'none'"],
}

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {"plain": {"()": "shopapp.common.logs.TokensLeftOut"}},
    "handlers": {"console": {"class": "logging.StreamHandler", "formatter": "plain"}},
    "root": {"handlers": ["console"], "level": "WARNING"},
    # Nothing is written past that formatter.
    "loggers": {
        "django": {"handlers": []},
        "django.server": {"handlers": ["console"], "level": "INFO", "propagate": False},
    },
}
