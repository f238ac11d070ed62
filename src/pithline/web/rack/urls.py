"""Addresses of the page rack."""

from __future__ import annotations

from django.urls import path

from pithline.web.rack import views

__all__ = ["app_name", "urlpatterns"]

app_name = "rack"
urlpatterns = [path("", views.index, name="index")]
