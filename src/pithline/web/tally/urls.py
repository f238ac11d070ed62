"""Addresses of the page Tally."""

from __future__ import annotations

from django.urls import path

from pithline.web.tally import views

__all__ = ["app_name", "urlpatterns"]

app_name = "tally"
urlpatterns = [
    path("", views.index, name="index"),
    path("<int:number>/", views.log, name="log"),
    path("<int:number>/wood/", views.wood, name="wood"),
    path("<int:number>/grid/", views.grid, name="grid"),
    path("<int:number>/pasted/", views.pasted, name="pasted"),
]
