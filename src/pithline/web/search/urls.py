"""Addresses of the page search."""

from __future__ import annotations

from django.urls import path

from pithline.web.search import views

__all__ = ["app_name", "urlpatterns"]

app_name = "search"
urlpatterns = [path("", views.index, name="index")]
