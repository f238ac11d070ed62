"""The book as a Django application."""

from __future__ import annotations

from django.apps import AppConfig

__all__ = ["Yard"]


class Yard(AppConfig):
    """Models, migrations and entry kinds."""

    name = "pithline.yard"
    label = "yard"
    verbose_name = "The yard book"

    def ready(self) -> None:
        """Make every entry kind and every long work known."""
        from pithline.yard import actions, works  # noqa: F401
