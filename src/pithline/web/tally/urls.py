"""Addresses of the page tally."""

from __future__ import annotations

from django.urls import path

from pithline.web.tally import views

__all__ = ["app_name", "urlpatterns"]

app_name = "tally"
urlpatterns = [path("", views.index, name="index")]
