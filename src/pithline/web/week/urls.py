"""Addresses of the page week."""

from __future__ import annotations

from django.urls import path

from pithline.web.week import views

__all__ = ["app_name", "urlpatterns"]

app_name = "week"
urlpatterns = [path("", views.index, name="index")]
