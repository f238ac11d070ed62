"""How a stack may be laid: a proposal, taken with one press; and the card that hangs at the stack."""

from __future__ import annotations

import uuid
from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_safe

from pithline import units
from pithline.errors import Refused
from pithline.web.clock import today
from pithline.web.drying.lay import LaidStack, as_it_lies, as_it_might
from pithline.web.forms import leave, sent_identity, who
from pithline.yard.ids import new_id
from pithline.yard.kinds import perform
from pithline.yard.models import Stack
from pithline.yard.preferences import setting
from pithline.yard.stack_facts import entered

__all__ = ["card", "lay"]

WAYS = {"floor": "Best use of floor", "order": "Log order kept"}
_CHANGED = "The stack has changed since this was shown: look again, then lay it."


@require_http_methods(["GET", "HEAD", "POST"])
def lay(request: HttpRequest, stack: uuid.UUID) -> HttpResponse:
    """A proposal; posted, its positions are entered."""
    found = _find(stack)
    asked = request.POST if request.method == "POST" else request.GET
    by, typed = asked.get("by", "floor"), asked.get("width", "").strip()
    if by not in WAYS:
        raise Http404("There is no such way to lay a stack.")
    known: dict[str, Any] = {
        "stack": found,
        "by": by,
        "ways": WAYS,
        "width": typed,
        "system": setting("system"),
    }
    try:
        width = units.length(typed, "width") if typed else None
        made = as_it_might(found, by, width, known["system"])
        if request.method == "POST":
            if asked.get("mark") == made.mark:
                said = entered(found, made.laid)
                perform("lay_stack", said, who=who(request), id=sent_identity(request))
                messages.success(request, f"Stack {found} is laid so. The journal undoes it.")
                return leave(request, reverse("drying:stack", args=[found.pk]))
            known["problem"] = _CHANGED
        known |= _shown(found, made, known["system"])
    except Refused as wrong:
        known["problem"] = str(wrong)
    status = 422 if "problem" in known else 200
    return render(request, "drying/lay.html", known, status=status)


@require_safe
def card(request: HttpRequest, stack: uuid.UUID) -> HttpResponse:
    """The card of the stack as it lies, as a PDF."""
    from pithline.sheets.stack_card import stack_card

    found, system = _find(stack), setting("system")
    try:
        made = as_it_lies(found, system)
    except Refused as wrong:
        raise Http404(f"There is no card of this stack yet. {wrong}"[:290]) from None
    if made is None:
        raise Http404("There is no card of this stack yet: no measured slab lies in a layer of it.")
    size = setting("paper")
    data = stack_card(made.laid, made.stood, f"Stack {found.name}", size, system, today().isoformat())
    answer = HttpResponse(data, content_type="application/pdf")
    answer["Content-Disposition"] = 'inline; filename="stack-card.pdf"'
    return answer


def _find(key: uuid.UUID) -> Stack:
    found: Stack = get_object_or_404(Stack.objects.select_related("place"), pk=key)
    return found


def _shown(found: Stack, made: LaidStack, system: units.System) -> dict[str, Any]:
    title = f"Stack {found.name}"
    return {
        "made": made,
        "drawing": made.drawn(title, system),
        "above": made.above(title, system),
        "entry": new_id(),
    }
