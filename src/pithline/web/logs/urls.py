"""Addresses of the page Logs."""

from __future__ import annotations

from django.urls import path

from pithline.web.logs import views

__all__ = ["app_name", "urlpatterns"]

app_name = "logs"
urlpatterns = [
    path("", views.index, name="index"),
    path("new/", views.new, name="new"),
    path("<int:number>/", views.log, name="log"),
    path("<int:number>/answer/", views.answer, name="answer"),
    path("<int:number>/change/", views.change, name="change"),
    path("<int:number>/note/", views.note, name="note"),
]
