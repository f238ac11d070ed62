"""What a backup looks like: one zip of rows as JSON lines, files by hash, and a manifest that names all."""

from __future__ import annotations

import re
from typing import Any

from django.db import connection, models
from django.db.migrations.recorder import MigrationRecorder

__all__ = ["FORMAT", "MANIFEST", "applied", "file_member", "in_order", "rows_member"]

FORMAT = "pithline/book/1"
MANIFEST = "manifest.json"
NAME = re.compile(r"[A-Za-z]{1,40}")
HASH = re.compile(r"[0-9a-f]{64}")


def rows_member(model: str) -> str:
    """Where the rows of a model are."""
    return f"rows/{model}.jsonl"


def file_member(sha256: str) -> str:
    """Where a stored file is."""
    return f"files/{sha256}"


def applied() -> list[str]:
    """Names of the book's migrations that its database has, oldest first."""
    rows = MigrationRecorder(connection).applied_migrations()
    return sorted(name for app, name in rows if app == "yard")


def in_order(registry: Any) -> list[type[models.Model]]:
    """The book's models, each after those that it points to.

    Parameters
    ----------
    registry : django.apps.registry.Apps
        Today's, or that of an older state of the book.
    """
    waiting = sorted(registry.get_app_config("yard").get_models(), key=lambda m: m.__name__)
    done: list[type[models.Model]] = []
    while waiting:
        for model in waiting:
            needs = {
                f.related_model for f in model._meta.concrete_fields if f.related_model not in (None, model)
            }
            if needs <= set(done):
                done.append(model)
                waiting.remove(model)
                break
        else:
            raise RuntimeError("models that point to each other in a ring")
    return done
