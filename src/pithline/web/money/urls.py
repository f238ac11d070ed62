"""Addresses of the page Money."""

from __future__ import annotations

from django.urls import path

from pithline.web.money import cost_views, sales_views, slab_views, worth_views

__all__ = ["app_name", "urlpatterns"]

app_name = "money"
urlpatterns = [
    path("", sales_views.index, name="index"),
    path("worth/", worth_views.worth, name="worth"),
    path("worth/enter/", worth_views.enter, name="enter"),
    path("worth/offer.pdf", worth_views.sheet, name="sheet"),
    path("worth/<int:number>/offer.pdf", worth_views.sheet, name="sheet-log"),
    path("worth/doubts/", worth_views.doubts, name="doubts"),
    path("worth/<int:number>/doubts/", worth_views.doubts, name="doubts-log"),
    path("worth/<int:number>/", worth_views.worth, name="worth-log"),
    path("worth/<int:number>/keep/", worth_views.keep, name="worth-keep"),
    path("costs/", cost_views.costs, name="costs"),
    path("log/<int:number>/", cost_views.log, name="log"),
    path("log/<int:number>/<str:kind>/", cost_views.spend, name="spend"),
    path("prices/", sales_views.prices, name="prices"),
    path("prices/<str:kind>/", sales_views.note, name="note"),
    path("slab/<str:number>/", slab_views.slab, name="slab"),
    path("slab/<str:number>/part/", slab_views.part, name="part"),
    path("slab/<str:number>/price.pdf", slab_views.paper, name="paper"),
    path("slab/<str:number>/waiting/", slab_views.waiting, name="waiting"),
    path("slab/<str:number>/do/<str:kind>/", slab_views.do, name="do"),
]
