"""Addresses of the page Settings."""

from __future__ import annotations

from django.urls import path

from pithline.web.settings import device, people, preferences, profiles, views, wear

__all__ = ["app_name", "urlpatterns"]

app_name = "settings"
urlpatterns = [
    path("", views.index, name="index"),
    path("book/", preferences.preferences, name="book"),
    path("device/", device.device, name="device"),
    path("passphrase/", device.passphrase_page, name="passphrase"),
    path("places/", people.places, name="places"),
    path("places/add/", people.add_place, name="place-add"),
    path("places/<uuid:pk>/", people.place, name="place"),
    path("contacts/add/", people.add_contact, name="contact-add"),
    path("contacts/<uuid:pk>/", people.contact, name="contact"),
    path("mill/<uuid:pk>/part/", wear.part, name="part"),
    path("mill/<uuid:pk>/hours/", wear.hours, name="hours"),
    # Last: "places" and "contacts" are no kinds of table.
    path("<slug:kind>/new/", profiles.new, name="profile-new"),
    path("<slug:kind>/usual/", profiles.usual, name="profile-usual"),
    path("<slug:kind>/<uuid:pk>/", profiles.profile, name="profile"),
]
