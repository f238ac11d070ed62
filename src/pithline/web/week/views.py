"""The week: what is due, the next log day, slabs without a place, and what was entered last."""

from __future__ import annotations

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_POST, require_safe

from pithline.errors import Refused
from pithline.web.clock import today
from pithline.web.forms import leave, sent_identity, who
from pithline.web.story import line_of
from pithline.web.week.due import due, homeless, log_day
from pithline.yard.ids import new_id
from pithline.yard.kinds import perform
from pithline.yard.models import Entry

__all__ = ["index", "journal", "undo"]

_LAST = 8


@require_safe
def index(request: HttpRequest) -> HttpResponse:
    """The front page."""
    entries = Entry.objects.select_related("undone_by")[:_LAST]
    if not entries:
        return render(request, "week/empty.html")
    day = today()
    count, some = homeless()
    known = {
        "today": day,
        "due": due(day),
        "log_day": log_day(day),
        "homeless": some,
        "homeless_count": count,
        "lines": [line_of(entry) for entry in entries],
        "fresh": new_id,  # called anew for each button
    }
    return render(request, "week/index.html", known)


@require_safe
def journal(request: HttpRequest) -> HttpResponse:
    """Every entry, the newest first."""
    pages = Paginator(Entry.objects.select_related("undone_by"), 50)
    page = pages.get_page(request.GET.get("page"))
    return render(
        request, "week/journal.html", {"page": page, "lines": [line_of(e) for e in page], "fresh": new_id}
    )


@require_POST
def undo(request: HttpRequest) -> HttpResponse:
    """Undo one entry, where nothing later stands on it."""
    back = request.POST.get("back", "")
    back = back if back in (reverse("week:index"), reverse("week:journal")) else reverse("week:index")
    try:
        perform(
            "undo_entry",
            {"entry": request.POST.get("entry", "")},
            who=who(request),
            id=sent_identity(request),
        )
    except Refused as problem:
        messages.error(request, f"Not undone. {problem}")
    else:
        messages.success(request, "Undone. The journal keeps both.")
    return leave(request, back)
