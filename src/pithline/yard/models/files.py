"""Files by their content: photos, scans, sheets as printed."""

from __future__ import annotations

from django.db import models

from pithline.yard.models.row import Row

__all__ = ["Attachment", "StoredFile"]


class StoredFile(Row):
    """Bytes in the book's folder, under their own SHA-256."""

    sha256 = models.CharField(max_length=64, unique=True)
    media_type = models.CharField(max_length=60)
    size_bytes = models.PositiveBigIntegerField()
    width_px = models.PositiveIntegerField(null=True)
    height_px = models.PositiveIntegerField(null=True)

    class Meta:
        ordering = ("created_at",)


class Attachment(Row):
    """A file that belongs to a record."""

    class Kind(models.TextChoices):
        """What it shows."""

        PHOTO = "photo", "photo"
        SCAN = "scan", "scan"
        SHEET = "sheet", "sheet"
        OTHER = "other", "other"

    kind = models.CharField(max_length=6, choices=Kind.choices, default=Kind.PHOTO)

    file = models.ForeignKey(StoredFile, on_delete=models.PROTECT, related_name="attached")
    subject = models.UUIDField()
    subject_kind = models.CharField(max_length=20)
    caption = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ("created_at",)
        indexes = (models.Index(fields=("subject",)),)
