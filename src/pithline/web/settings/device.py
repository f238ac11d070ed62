"""The device at hand: who enters on it; and the passphrase that lets other devices in."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST

from pithline.errors import BadValue
from pithline.web import passphrase
from pithline.web.door import near
from pithline.web.forms import leave

__all__ = ["device", "passphrase_page"]


@require_POST
def device(request: HttpRequest) -> HttpResponse:
    """Remember who enters on this device, for the journal."""
    for name in ("who", "device"):
        request.session[name] = request.POST.get(name, "").replace("\x00", "").strip()[:80]
    messages.success(request, "Remembered on this device.")
    return leave(request, reverse("settings:index"))


@require_http_methods(["GET", "HEAD", "POST"])
def passphrase_page(request: HttpRequest) -> HttpResponse:
    """Set the passphrase or take it away; at the book's own machine only."""
    known = {"locked": passphrase.is_set(), "least": passphrase.LEAST, "problem": "", "near": near(request)}
    if request.method != "POST":
        return render(request, "settings/passphrase.html", known)
    if not near(request):
        known["problem"] = "It can be set at the machine that keeps the book, not from here."
        return render(request, "settings/passphrase.html", known, status=403)
    if "forget" in request.POST:
        passphrase.forget()
        messages.success(request, "No passphrase now: only this machine may use the book.")
        return leave(request, reverse("settings:index"))
    try:
        first, second = request.POST.get("passphrase", ""), request.POST.get("again", "")
        if first != second:
            raise BadValue("passphrase", "…", "the same twice", "Type it again.")
        passphrase.set_passphrase(first)
    except BadValue as problem:
        known["problem"] = f"Must be {problem.rule}. {problem.remedy}"
        return render(request, "settings/passphrase.html", known, status=422)
    messages.success(request, "The passphrase is set. Every other device has to give it.")
    return leave(request, reverse("settings:index"))
