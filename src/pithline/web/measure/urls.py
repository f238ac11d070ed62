"""Addresses of the page Measure."""

from __future__ import annotations

from django.urls import path

from pithline.web.measure import views

__all__ = ["app_name", "urlpatterns"]

app_name = "measure"
urlpatterns = [
    path("", views.index, name="index"),
    path("<int:number>/", views.measure, name="log"),
    path("<int:number>/faces/", views.faces, name="faces"),
]
