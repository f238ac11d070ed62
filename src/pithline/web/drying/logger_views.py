"""Files of a climate logger: handed in at a stack, each fault named, used once somebody agreed to it."""

from __future__ import annotations

import uuid

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.views.decorators.http import require_POST

from pithline.errors import BadValue, Refused
from pithline.web.drying.views import stack_page
from pithline.web.forms import leave, sent_identity, who
from pithline.yard.files import keep
from pithline.yard.kinds import perform
from pithline.yard.models import Logger, Stack

__all__ = ["hand_in", "judge"]

_MOST = 20_000_000  # bytes; a year at every minute has some 25


@require_POST
def hand_in(request: HttpRequest, stack: uuid.UUID) -> HttpResponse:
    """Keep a logger's file for the place of a stack."""
    found = get_object_or_404(Stack.objects.select_related("place"), pk=stack)
    sent = request.FILES.get("file")
    try:
        if found.place is None:
            raise BadValue("place", "missing", f"known for stack {found}", "Say where the stack is.")
        if sent is None or not sent.size:
            raise BadValue("file", "missing", "given", "Choose the logger's file.")
        if sent.size > _MOST:
            raise BadValue(
                "file", f"{sent.size / 1e6:.0f} MB", f"at most {_MOST / 1e6:.0f} MB", "Cut it in two."
            )
        name = (request.POST.get("name") or str(sent.name or "logger"))[:120].replace("\x00", "").strip()
        words = {"name": name, "file": keep(sent.read(), "text/csv").sha256, "place": found.place.name}
        if request.POST.get("hung") == "in":
            words["stack"] = found.name
        if request.POST.get("dates"):
            words["dates"] = request.POST["dates"]
        done = perform("keep_logger", words, who=who(request), id=sent_identity(request))
    except Refused as problem:
        typed = {key: request.POST.get(key, "") for key in ("name", "hung", "dates")}
        return stack_page(request, found, status=422, handed={**typed, "problem": str(problem)})
    logger = done.subject
    if isinstance(logger, Logger) and not logger.used:
        messages.warning(request, "The file is kept, but not used: look at what is odd about it below.")
    else:
        messages.success(request, "The file is kept and used.")
    return leave(request, reverse("drying:stack", args=[found.pk]) + "#loggers")


@require_POST
def judge(request: HttpRequest, stack: uuid.UUID, logger: uuid.UUID) -> HttpResponse:
    """Agree to what was ticked, or use the file no more."""
    found, file = get_object_or_404(Stack, pk=stack), get_object_or_404(Logger, pk=logger)
    words: dict[str, object] = {"logger": file.name}
    if request.POST.get("use") == "no":
        words["use"] = "no"
    else:
        words["agreed"] = request.POST.getlist("agreed")
        words["use"] = "yes"
    try:
        perform("judge_logger", words, who=who(request), id=sent_identity(request))
    except Refused as problem:
        messages.error(request, str(problem))
    else:
        messages.success(request, "It is written down.")
    return leave(request, reverse("drying:stack", args=[found.pk]) + "#loggers")
