"""Addresses of the front page and of the journal."""

from __future__ import annotations

from django.urls import path

from pithline.web.week import views

__all__ = ["app_name", "urlpatterns"]

app_name = "week"
urlpatterns = [
    path("", views.index, name="index"),
    path("journal/", views.journal, name="journal"),
    path("journal/undo/", views.undo, name="undo"),
]
