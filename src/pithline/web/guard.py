"""Keep strangers' pages from writing into a book that listens on this machine."""

from __future__ import annotations

from collections.abc import Callable
from urllib.parse import urlsplit

from django.http import HttpRequest, HttpResponse

__all__ = ["OwnOrigin"]

_SAFE = {"GET", "HEAD", "OPTIONS"}


class OwnOrigin:
    """Refuse every unsafe request that a page of another origin may have sent.

    A loopback book has no login, so any web page open in the same browser could post
    into it. Browsers say where a request comes from: Sec-Fetch-Site, or Origin. A
    program without a browser (the API's client) sends neither, and a page cannot
    leave both out.
    """

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """Let it pass or answer 403."""
        if request.method not in _SAFE and not _ours(request):
            return HttpResponse(
                "This request came from another page. Open the book itself and try again.",
                status=403,
                content_type="text/plain; charset=utf-8",
            )
        return self.get_response(request)


def _ours(request: HttpRequest) -> bool:
    site = request.headers.get("Sec-Fetch-Site")
    if site is not None and site not in ("same-origin", "none"):
        return False
    origin = request.headers.get("Origin")
    if origin is None:
        return True
    return urlsplit(origin).netloc == request.get_host() and urlsplit(origin).scheme == request.scheme
