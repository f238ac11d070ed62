"""Who may come in: whoever sits at this machine, and from the network who knows the passphrase."""

from __future__ import annotations

import ipaddress
from collections.abc import Callable
from urllib.parse import quote

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.http import require_http_methods, require_POST

from pithline.web import passphrase
from pithline.web.forms import leave
from pithline.web.tries import Tries

__all__ = ["Door", "enter", "near", "sign_out", "trusted"]

_OPEN = ("/static/", "/enter/", "/api/about")
_CALENDAR = "/drying/calendar.ics"  # looks at tokens itself: a calendar program knows no passphrase page
TRIES = Tries()
# A proxy on this machine makes every visitor look near; what it adds gives it away.
_PROXIED = ("X-Forwarded-For", "X-Real-Ip", "Forwarded", "X-Forwarded-Host", "Via")


class Door:
    """Let near and known visitors pass; show others the passphrase page, or refuse where none is set.

    The API also lets in programs by token: its requests that carry one pass here and
    are looked at there.
    """

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """Pass, ask or refuse."""
        path = request.path_info
        sent = request.headers.get("Authorization", "")
        with_token = (path.startswith("/api/") and sent.startswith("Bearer ")) or path == _CALENDAR
        if trusted(request) or path.startswith(_OPEN) or with_token:
            return self.get_response(request)
        if not passphrase.is_set():
            return _plain("This book is for its own machine only: no passphrase is set.", 403)
        if path.startswith("/api/"):
            return _plain("Sign in, or send a token.", 401)
        address = (
            f"{reverse('enter')}?next={quote(request.get_full_path() if request.method == 'GET' else '/')}"
        )
        if request.headers.get("HX-Request"):
            return HttpResponse(status=401, headers={"HX-Redirect": address})
        return HttpResponseRedirect(address)


def near(request: HttpRequest) -> bool:
    """Whether the request comes from this machine itself, not through a proxy on it."""
    try:
        peer = ipaddress.ip_address(request.META.get("REMOTE_ADDR", ""))
    except ValueError:  # a unix socket has no address, and only a proxy would use one
        return False
    mapped = getattr(peer, "ipv4_mapped", None)
    return (mapped or peer).is_loopback and not any(name in request.headers for name in _PROXIED)


def trusted(request: HttpRequest) -> bool:
    """Whether the book is this visitor's to read and write."""
    if near(request):
        return True
    now = passphrase.stamp()
    return bool(now) and request.session.get("known") == now


@require_http_methods(["GET", "HEAD", "POST"])
def enter(request: HttpRequest) -> HttpResponse:
    """Ask for the passphrase."""
    onward = request.POST.get("next") or request.GET.get("next") or "/"
    if not url_has_allowed_host_and_scheme(onward, allowed_hosts=None):
        onward = "/"
    known = {"next": onward, "problem": ""}
    if request.method != "POST":
        return render(request, "enter.html", known)
    peer = request.META.get("REMOTE_ADDR", "")
    wait = TRIES.wait(peer)
    if wait:
        known["problem"] = f"Too many wrong tries. Wait {-(-wait // 60)} min, then try again."
        answer = render(request, "enter.html", known, status=429)
        answer["Retry-After"] = str(wait)
        return answer
    TRIES.failed(peer)
    if not passphrase.matches(request.POST.get("passphrase", "")):
        known["problem"] = "That is not this book's passphrase."
        return render(request, "enter.html", known, status=422)
    TRIES.passed(peer)
    request.session.cycle_key()
    request.session["known"] = passphrase.stamp()
    return leave(request, onward)


@require_POST
def sign_out(request: HttpRequest) -> HttpResponse:
    """Forget this device."""
    request.session.flush()
    return HttpResponseRedirect("/")


def _plain(text: str, status: int) -> HttpResponse:
    return HttpResponse(text, status=status, content_type="text/plain; charset=utf-8")
