"""The last net: a refusal that no form caught is told on a page of its own, and is no fault of ours."""

from __future__ import annotations

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from pithline.errors import Refused

__all__ = ["Refusals"]


class Refusals:
    """Show what was refused, with status 422; the API words its own."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """Nothing on the way in."""
        return self.get_response(request)

    def process_exception(self, request: HttpRequest, problem: Exception) -> HttpResponse | None:
        """A page for a refusal; None for everything else."""
        if not isinstance(problem, Refused) or request.path_info.startswith("/api/"):
            return None
        return render(request, "refused.html", {"problem": problem}, status=422)
