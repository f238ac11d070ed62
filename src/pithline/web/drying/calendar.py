"""The calendar feed: what is due at stacks and loads, and the days that forecasts give."""

from __future__ import annotations

import base64
import binascii
import datetime
import math
import uuid
from collections.abc import Iterator

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_safe

from pithline.errors import BadValue
from pithline.sheets.ics import Day, calendar
from pithline.web.clock import today
from pithline.web.door import trusted
from pithline.web.drying.due import tasks
from pithline.web.drying.watch import alike, outlook
from pithline.yard.actions.slabs import GONE
from pithline.yard.models import Stack
from pithline.yard.moments import now
from pithline.yard.preferences import setting
from pithline.yard.tokens import token_of

__all__ = ["days", "feed", "known"]

_HERE = uuid.uuid5(uuid.NAMESPACE_URL, "pithline:drying")


@require_safe
def feed(request: HttpRequest) -> HttpResponse:
    """The feed, for this machine, a signed-in browser, or a program with a token."""
    if not known(request):
        answer = HttpResponse("Send a token.", status=401, content_type="text/plain; charset=utf-8")
        answer["WWW-Authenticate"] = 'Basic realm="Pithline calendar", charset="UTF-8"'
        return answer
    name = f"{setting('yard') or 'Yard'}: drying"
    body = calendar(days(today(), setting("base_address")), name, now())
    answer = HttpResponse(body, content_type="text/calendar; charset=utf-8")
    answer["Content-Disposition"] = 'inline; filename="drying.ics"'
    answer["Cache-Control"] = "private, no-cache"
    return answer


def known(request: HttpRequest) -> bool:
    """Whether whoever asks may read the feed.

    A calendar program sends a token as a bearer, or, where it only knows a name and a
    passphrase, as that passphrase.
    """
    kind, _, text = request.headers.get("Authorization", "").partition(" ")
    token = ""
    if kind.lower() == "bearer":
        token = text.strip()
    elif kind.lower() == "basic":
        try:
            token = base64.b64decode(text.strip(), validate=True).decode().partition(":")[2]
        except (binascii.Error, UnicodeDecodeError):
            return False
    if kind:
        return bool(token) and token_of(token) is not None
    return trusted(request)


def days(today: datetime.date, base: str) -> Iterator[Day]:
    """Everything that the feed holds.

    Parameters
    ----------
    today : date
    base : str
        Address of the book, for links.
    """
    for one in tasks(today):
        yield Day(_uid(one.key), max(one.day, today), one.title, one.why, base + one.address)
    for stack in Stack.objects.filter(slabs__isnull=False).exclude(slabs__state__in=GONE).distinct():
        yield from _milestones(stack, today, base)


def _milestones(stack: Stack, today: datetime.date, base: str) -> Iterator[Day]:
    """Days of the thickest slabs of a stack; none where nothing can be forecast."""
    groups, _ = alike(stack)
    for group in groups[:1]:
        try:
            made = outlook(group.facts, today)
        except BadValue:
            continue
        begins = group.facts.begins
        for each, after in zip(made.milestones, made.learnt.days[1], strict=True):
            if not math.isfinite(after.mid) or after.mid <= made.today:
                continue
            low, mid = (begins + datetime.timedelta(days=round(day)) for day in (after.low, after.mid))
            high = (
                begins + datetime.timedelta(days=round(after.high)) if math.isfinite(after.high) else "later"
            )
            about = (
                f"Slabs {', '.join(group.labels)}: {100 * each.moisture:.0f} % expected, {low} to {high} in "
                f"eight of ten. A forecast: measure before you go by it. Basis: {each.source}"
            )
            key, title = f"{each.name}-{stack.pk}", f"{each.name}: stack {stack}"
            yield Day(_uid(key), mid, title, about, f"{base}/drying/stack/{stack.pk}/")


def _uid(key: str) -> str:
    return f"{uuid.uuid5(_HERE, key)}@pithline"
