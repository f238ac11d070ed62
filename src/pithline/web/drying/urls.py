"""Addresses of the page Drying."""

from __future__ import annotations

from django.urls import path

from pithline.web.drying import calendar, charge_views, lay_views, load_views, logger_views, views

__all__ = ["app_name", "urlpatterns"]

app_name = "drying"
urlpatterns = [
    path("", views.index, name="index"),
    path("calendar.ics", calendar.feed, name="calendar"),
    path("stack/<uuid:stack>/", views.stack, name="stack"),
    path("stack/<uuid:stack>/all/", views.everything, name="all"),
    path("stack/<uuid:stack>/lay/", lay_views.lay, name="lay"),
    path("stack/<uuid:stack>/card.pdf", lay_views.card, name="card"),
    path("stack/<uuid:stack>/do/<str:kind>/", views.do, name="do"),
    path("stack/<uuid:stack>/logger/", logger_views.hand_in, name="logger"),
    path("stack/<uuid:stack>/logger/<uuid:logger>/", logger_views.judge, name="judge"),
    path("loads/new/", load_views.new, name="new-load"),
    path("loads/<int:number>/", load_views.load, name="load"),
    path("loads/<int:number>/charge/", charge_views.charge, name="charge"),
    path("loads/<int:number>/charge/<uuid:key>/", charge_views.work, name="charge-work"),
    path("loads/<int:number>/do/<str:kind>/", load_views.do, name="load-do"),
    path("loads/<int:number>/log.pdf", load_views.paper, name="load-log"),
]
