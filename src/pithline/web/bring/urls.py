"""Addresses of the page that brings tables in."""

from __future__ import annotations

from django.urls import path

from pithline.web.bring import views

__all__ = ["app_name", "urlpatterns"]

app_name = "bring"
urlpatterns = [
    path("", views.index, name="index"),
    path("work/<uuid:key>/", views.working, name="work"),
    path("<str:sha256>/", views.table, name="table"),
]
