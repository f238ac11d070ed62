"""Addresses of the page Rack."""

from __future__ import annotations

from django.urls import path

from pithline.web.rack import asked_views, label_views, slab_views, views

__all__ = ["app_name", "urlpatterns"]

app_name = "rack"
urlpatterns = [
    path("", views.index, name="index"),
    path("stacks/", views.stacks, name="stacks"),
    path("stacks/new/", views.new_stack, name="new-stack"),
    path("move/", views.move, name="move"),
    path("glue/", views.glue, name="glue"),
    path("asked/", asked_views.asked, name="asked"),
    path("asked/new/", asked_views.new, name="ask"),
    path("asked/<uuid:want>/", asked_views.want, name="want"),
    path("asked/<uuid:want>/settle/", asked_views.settle, name="settle"),
    path("labels/", label_views.labels, name="labels"),
    path("labels/sheet.pdf", label_views.sheet, name="sheet"),
    path("id/<uuid:slab>/", slab_views.by_code, name="code"),
    path("<str:number>/", slab_views.slab, name="slab"),
    path("<str:number>/fits/", slab_views.fits, name="fits"),
    path("<str:number>/do/<str:kind>/", slab_views.do, name="do"),
]
