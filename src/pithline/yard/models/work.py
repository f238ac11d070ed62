"""Long work beside the server, and the tokens of programs that may write."""

from __future__ import annotations

from django.db import models

from pithline.yard.models.row import Row

__all__ = ["Job", "Token"]


class Job(Row):
    """One piece of long work: what was asked, how far it is, what came of it."""

    class State(models.TextChoices):
        """How it stands."""

        WAITING = "waiting", "waiting"
        RUNNING = "running", "running"
        DONE = "done", "done"
        REFUSED = "refused", "refused"
        FAILED = "failed", "failed"
        CANCELLED = "cancelled", "cancelled"
        INTERRUPTED = "interrupted", "interrupted by a stop of the server"

    kind = models.CharField(max_length=40)
    said = models.JSONField(default=dict)
    state = models.CharField(max_length=12, choices=State.choices, default=State.WAITING)
    done = models.FloatField(default=0.0, help_text="Fraction.")
    told = models.CharField(max_length=200, blank=True, help_text="What it is at, or why it ended.")
    result = models.JSONField(null=True)
    started_at = models.DateTimeField(null=True)
    ended_at = models.DateTimeField(null=True)

    class Meta:
        ordering = ("-created_at",)
        indexes = (models.Index(fields=("state",)),)


class Token(Row):
    """Lets a program use the API. Only a digest is kept; the token itself is shown once."""

    name = models.CharField(max_length=80)
    digest = models.CharField(max_length=64, unique=True, help_text="SHA-256 of the token.")
    last_used_at = models.DateTimeField(null=True)
    revoked_at = models.DateTimeField(null=True)

    class Meta:
        ordering = ("created_at",)

    def __str__(self) -> str:
        return self.name
