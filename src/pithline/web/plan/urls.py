"""Addresses of the page plan."""

from __future__ import annotations

from django.urls import path

from pithline.web.plan import views

__all__ = ["app_name", "urlpatterns"]

app_name = "plan"
urlpatterns = [
    path("", views.index, name="index"),
    path("<int:number>/", views.log, name="log"),
    path("<int:number>/further/", views.further, name="further"),
    path("<int:number>/price/", views.price, name="price"),
    path("<int:number>/keep/", views.keep, name="keep"),
    path("<int:number>/<int:kept>/choose/", views.choose, name="choose"),
    path("<int:number>/solid/", views.solid, name="solid"),
    path("<int:number>/<str:name>", views.paper_of, name="paper"),
]
