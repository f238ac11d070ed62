"""The rack: every stack from its end, and the list of slabs beneath."""

from __future__ import annotations

from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_safe

from pithline.web.forms import Form, form_of, submit
from pithline.web.names import places
from pithline.web.names import stacks as stack_names
from pithline.web.rack.asking import wanted
from pithline.web.rack.shelf import drawn, in_order, offers, rows, slabs_in, stacks_with
from pithline.yard.models import Stack
from pithline.yard.money import currency
from pithline.yard.preferences import setting

__all__ = ["glue", "index", "move", "new_stack", "stacks"]

PAGE = 40  # slabs; more make a page that a phone loads slowly
_DRAWN = 3  # stacks on the first page
_FEW, _MANY = 60, 100  # slabs drawn there, and on the page of stacks: 100 weigh 60 kB


@require_safe
def index(request: HttpRequest) -> HttpResponse:
    """Stacks and slabs, or for htmx the list alone."""
    asked = wanted(request.GET, offers())
    pages = Paginator(in_order(slabs_in(asked.values), asked.values["sort"]), PAGE)
    page = pages.get_page(request.GET.get("page"))
    known = {
        "asked": asked,
        "page": page,
        "rows": rows(page.object_list),
        "system": setting("system"),
        "currency": currency(),
    }
    status = 422 if asked.refused else 200
    if request.htmx:
        return render(request, "rack/list.html", known, status=status)
    if asked.values["stack"]:
        shown = list(Stack.objects.select_related("place").filter(name__iexact=asked.values["stack"])[:1])
    else:
        shown = [] if asked.narrowed or page.number > 1 else _some()
    known |= {"stacks": drawn(shown, known["system"]) if shown else [], "more_stacks": Stack.objects.count()}
    return render(request, "rack/index.html", known, status=status)


def _some() -> list[Stack]:
    """The newest stacks, as far as their drawings stay small."""
    return _light(list(stacks_with()[:_DRAWN]), _FEW)


def _light(stacks: list[Stack], left: int) -> list[Stack]:
    """Those that can be drawn on one page together; one too tall for it is drawn on its own."""
    taken = []
    for stack in stacks:
        if stack.pieces <= left:
            left -= stack.pieces
            taken.append(stack)
    return taken


@require_safe
def stacks(request: HttpRequest) -> HttpResponse:
    """All stacks, a few on each page."""
    page = Paginator(stacks_with(), 12).get_page(request.GET.get("page"))
    shown = list(page.object_list)
    light = _light(shown, _MANY)
    known = {
        "page": page,
        "stacks": drawn(light, setting("system")),
        "tall": [stack for stack in shown if stack not in light],
    }
    return render(request, "rack/stacks.html", known)


@require_http_methods(["GET", "HEAD", "POST"])
def new_stack(request: HttpRequest) -> HttpResponse:
    """Build a stack of the ticked slabs, or an empty one."""
    form = form_of(
        "build_stack",
        reverse("rack:new-stack"),
        button="Build this stack",
        said={"slabs": request.GET.getlist("slab")},
        offers={"place": places()},
    )
    return _entering(request, form, "Build a stack", reverse("rack:stacks"), "The stack is in the book.")


@require_http_methods(["GET", "HEAD", "POST"])
def move(request: HttpRequest) -> HttpResponse:
    """Move the ticked slabs."""
    form = form_of(
        "move_slab",
        reverse("rack:move"),
        button="Move them",
        said={"slabs": request.GET.getlist("slab")},
        offers={"place": places(), "stack": stack_names()},
    )
    return _entering(request, form, "Move slabs", reverse("rack:index"), "They are moved.")


@require_http_methods(["GET", "HEAD", "POST"])
def glue(request: HttpRequest) -> HttpResponse:
    """Glue the ticked slabs up into one piece."""
    form = form_of(
        "join_slabs",
        reverse("rack:glue"),
        button="They are one piece now",
        said={"slabs": request.GET.getlist("slab")},
    )
    return _entering(
        request, form, "Glue slabs up", reverse("rack:index"), "Write its new number on the piece."
    )


def _entering(request: HttpRequest, form: Form, title: str, to: str, told: str) -> HttpResponse:
    def page(request: HttpRequest, form: Form, status: int = 200) -> HttpResponse:
        return render(request, "rack/enter.html", {"form": form, "title": title}, status=status)

    return submit(request, form, page, to, told) if request.method == "POST" else page(request, form)
