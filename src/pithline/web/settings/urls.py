"""Addresses of the page settings."""

from __future__ import annotations

from django.urls import path

from pithline.web.settings import views

__all__ = ["app_name", "urlpatterns"]

app_name = "settings"
urlpatterns = [path("", views.index, name="index")]
