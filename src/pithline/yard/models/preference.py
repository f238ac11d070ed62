"""The book's settings; what is not here has the default of `yard.preferences`."""

from __future__ import annotations

from django.db import models

__all__ = ["Preference"]


class Preference(models.Model):
    """One setting, as typed."""

    name = models.CharField(max_length=60, primary_key=True)
    value = models.JSONField()
