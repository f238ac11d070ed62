"""The web site of one book: what Django must know to serve it, and to keep strangers out."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from pithline.yard.opening import configure

__all__ = ["PORT", "ROOMS", "configure_site", "site_settings"]

PORT = 8467  # fixed: the origin of a page must never change under a phone that keeps entries for it
_WEB = Path(__file__).parent

# Each room has urls.py, views.py, its own templates and, where it needs them, static files.
ROOMS = ("week", "logs", "measure", "plan", "tally", "rack", "drying", "money", "settings", "search", "bring")


def site_settings(hosts: Sequence[str] = ()) -> dict[str, Any]:
    """Django settings of the pages, beside those of the book.

    Parameters
    ----------
    hosts : sequence of str
        Names and addresses under which the book may be reached beyond this machine.
    """
    from csp.constants import NONE, SELF

    return {
        "ROOT_URLCONF": "pithline.web.urls",
        "ALLOWED_HOSTS": ["localhost", "127.0.0.1", "[::1]", *hosts],
        "INSTALLED_APPS": [
            "django.contrib.sessions",
            "django.contrib.messages",
            "django.contrib.staticfiles",
            "django_htmx",
            "csp",
            "pithline.web",
        ],
        "MIDDLEWARE": [
            "django.middleware.security.SecurityMiddleware",
            "whitenoise.middleware.WhiteNoiseMiddleware",
            "pithline.web.guard.OwnOrigin",
            "django.contrib.sessions.middleware.SessionMiddleware",
            "django.middleware.common.CommonMiddleware",
            "django.middleware.csrf.CsrfViewMiddleware",
            "django.contrib.messages.middleware.MessageMiddleware",
            "django.middleware.clickjacking.XFrameOptionsMiddleware",
            "csp.middleware.CSPMiddleware",
            "django_htmx.middleware.HtmxMiddleware",
            "pithline.web.door.Door",
            "pithline.web.clock.YardTime",
            "pithline.web.refusals.Refusals",
        ],
        "TEMPLATES": [
            {
                "BACKEND": "django.template.backends.django.DjangoTemplates",
                "DIRS": [_WEB / "templates", *(_WEB / room / "templates" for room in ROOMS)],
                "OPTIONS": {
                    "context_processors": [
                        "django.template.context_processors.request",
                        "django.contrib.messages.context_processors.messages",
                        "pithline.web.context.book",
                    ],
                    "builtins": ["pithline.web.templatetags.show"],
                },
            }
        ],
        "STATIC_URL": "/static/",
        "STATICFILES_DIRS": [
            (room, str(_WEB / room / "static")) for room in ROOMS if (_WEB / room / "static").is_dir()
        ],
        "WHITENOISE_USE_FINDERS": True,
        "WHITENOISE_ALLOW_ALL_ORIGINS": False,
        "SESSION_ENGINE": "django.contrib.sessions.backends.signed_cookies",
        "SESSION_COOKIE_HTTPONLY": True,
        "SESSION_COOKIE_SAMESITE": "Strict",
        "CSRF_COOKIE_SAMESITE": "Strict",
        # Faults go to the terminal where the book was opened; Django would mail them to nobody.
        "LOGGING": {
            "version": 1,
            "disable_existing_loggers": False,
            "handlers": {"terminal": {"class": "logging.StreamHandler", "level": "ERROR"}},
            "loggers": {"django": {"handlers": ["terminal"], "level": "WARNING"}},
        },
        "SECURE_CONTENT_TYPE_NOSNIFF": True,
        "SECURE_REFERRER_POLICY": "same-origin",
        "X_FRAME_OPTIONS": "DENY",
        "CONTENT_SECURITY_POLICY": {
            "DIRECTIVES": {
                "default-src": [NONE],
                "script-src": [SELF],
                "style-src": [SELF],
                "img-src": [SELF, "data:", "blob:"],
                "font-src": [SELF],
                "connect-src": [SELF],
                "form-action": [SELF],
                "frame-ancestors": [NONE],
                "base-uri": [NONE],
                "manifest-src": [SELF],
                "worker-src": [SELF],
            }
        },
        "DATA_UPLOAD_MAX_MEMORY_SIZE": 5_000_000,
        "DATA_UPLOAD_MAX_NUMBER_FIELDS": 5_000,
        "LANGUAGE_CODE": "en",
    }


def configure_site(folder: Path, url: str | None = None, hosts: Sequence[str] = (), **more: Any) -> None:
    """Tell Django about a book and its pages; once in a process."""
    configure(folder, url, **{**site_settings(hosts), **more})
