"""Addresses of the page plan."""

from __future__ import annotations

from django.urls import path

from pithline.web.plan import views

__all__ = ["app_name", "urlpatterns"]

app_name = "plan"
urlpatterns = [path("", views.index, name="index")]
