"""Addresses of the page logs."""

from __future__ import annotations

from django.urls import path

from pithline.web.logs import views

__all__ = ["app_name", "urlpatterns"]

app_name = "logs"
urlpatterns = [path("", views.index, name="index")]
