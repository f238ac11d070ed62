"""Is it worth it? The phone call on a page; any change judges the log anew."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse, QueryDict
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_POST, require_safe

from pithline.errors import Refused
from pithline.sheets.doubts_chart import KEY
from pithline.sheets.worth_words import CAUTION, worth_words
from pithline.web.clock import today
from pithline.web.forms import leave, sent_identity, who
from pithline.web.money.judging import Judged, drawn, judge
from pithline.web.money.offer import Offer, offer_of
from pithline.web.plan.warming import warmed
from pithline.yard.cost_facts import downgraded, plan_and_tally
from pithline.yard.ids import new_id
from pithline.yard.kinds import perform
from pithline.yard.models import Log
from pithline.yard.preferences import setting

__all__ = ["doubts", "enter", "keep", "sheet", "worth"]

_WAIT = 4.0  # [s] a kept compilation is read in a second or two; longer means that it is being made


@require_safe
def worth(request: HttpRequest, number: int | None = None) -> HttpResponse:
    """The form and its answer; for htmx the answer alone."""
    log = _find(number) if number is not None else None
    offer = offer_of(log, request.GET)
    htmx = getattr(request, "htmx", None)
    fragment = bool(htmx and not htmx.history_restore_request)
    known = _known(offer)
    status = 200
    if not offer.missing:
        if not warmed(_WAIT, everything=True):
            answer = render(request, "money/compiling.html", known)
            answer["Refresh"] = "3"
            answer["HX-Refresh"] = "true"
            return answer
        try:
            judged, system = _judged(offer), setting("system")
            known["answer"] = worth_words(judged.worth, judged.told, system)
        except Refused as problem:
            status = 422
            known |= _known(offer.refused(problem))
    if not fragment:
        return render(request, "money/worth.html", known, status=status)
    known["cleared"] = offer.part(request.GET.get("refused", "")) if status == 200 else None
    answer = render(request, "money/_worth.html", known, status=status)
    answer["HX-Replace-Url"] = f"{request.path}?{_address(request.GET)}"
    return answer


@require_safe
def doubts(request: HttpRequest, number: int | None = None) -> HttpResponse:
    """The chart of the doubts, drawn after the answer: drawing takes longer than judging."""
    offer = offer_of(_find(number) if number is not None else None, request.GET)
    known, status = _known(offer), 200
    try:
        if not offer.missing:
            known["chart"] = drawn(_judged(offer))
    except Refused as problem:
        status = 422
        known |= _known(offer.refused(problem))
    whole = "money/_doubts.html" if request.htmx else "money/doubts.html"
    return render(request, whole, known, status=status)


@require_safe
def sheet(request: HttpRequest, number: int | None = None) -> HttpResponse:
    """The sheet that goes along to the log, as a PDF; the page itself where there is no answer yet."""
    log = _find(number) if number is not None else None
    offer = offer_of(log, request.GET)
    if offer.missing or not warmed(_WAIT, everything=True):
        return worth(request, number)
    try:
        judged = _judged(offer)
    except Refused:
        return worth(request, number)
    from pithline.sheets.offer_sheet import offer_sheet

    title = f"Log {log.number} · {log.name or log.species}" if log else "Log on offer"
    told, size = judged.told, setting("paper")
    data = offer_sheet(judged.worth, told, title, size, setting("system"), today().isoformat())
    answer = HttpResponse(data, content_type="application/pdf")
    name = f"offer-log-{log.number}.pdf" if log else "offer.pdf"
    answer["Content-Disposition"] = f'inline; filename="{name}"'
    return answer


@require_POST
def keep(request: HttpRequest, number: int) -> HttpResponse:
    """Keep what was said of a log of the book, and the ticks."""
    log, query = _find(number), QueryDict(request.POST.get("words", ""))
    offer = offer_of(log, query)
    call = _call(offer)
    back = f"{reverse('money:worth-log', args=[number])}?{_address(query)}"
    try:
        perform("ask_worth", {"log": str(number), "call": call}, who=who(request), id=sent_identity(request))
    except Refused as problem:
        messages.error(request, str(problem))
    else:
        messages.success(request, f"Kept with log {number}: what was said, and what was ticked.")
        back = reverse("money:worth-log", args=[number])
    return leave(request, back)


@require_POST
def enter(request: HttpRequest) -> HttpResponse:
    """Enter a log that was told of by phone, with what was said of it."""
    query = QueryDict(request.POST.get("words", ""))
    offer = offer_of(None, query)
    call = _call(offer)
    try:
        said = {"species": str(call.get("species", "")), "name": request.POST.get("name", "").strip()}
        done = perform("take_log", said, who=who(request), id=sent_identity(request))
        number = done.subject.number  # type: ignore[union-attr]
        # Sent twice, the first entry answers for both; the second is about that log, too.
        perform("ask_worth", {"log": str(number), "call": call}, who=who(request))
    except Refused as problem:
        messages.error(request, str(problem))
        return leave(request, f"{reverse('money:worth')}?{_address(query)}")
    messages.success(request, "It is in the book, with what was said of it. Write its number on the wood.")
    return leave(request, reverse("logs:log", args=[number]))


def _judged(offer: Offer) -> Judged:
    return judge(offer.tables, plan_and_tally(), setting("system"))


def _known(offer: Offer) -> dict[str, Any]:
    bad, dried = downgraded()
    return {
        "offer": offer,
        "log": offer.log,
        "here": "money",
        "tab": "worth",
        "address": _room("worth", offer.log),
        "words": _address(offer.query),
        "doubts": _room("doubts", offer.log),
        "sheet": _room("sheet", offer.log),
        "key": KEY,
        "caution": CAUTION,
        "dried": (bad, dried) if dried else None,
        "fresh": new_id,
    }


def _room(name: str, log: Log | None) -> str:
    """The page about a log of the book, or about a call."""
    return reverse(f"money:{name}-log", args=[log.number]) if log else reverse(f"money:{name}")


def _call(offer: Offer) -> dict[str, Any]:
    """What is kept of the call: species and size only where no record says them."""
    return {name: value for name, value in offer.tables["call"].items() if value not in ("", [], None)}


def _address(query: QueryDict) -> str:
    """The words of the form, without what was left empty."""
    kept = query.copy()
    for name in [n for n in kept if n == "refused" or not kept[n].strip()]:
        del kept[name]
    return kept.urlencode()


def _find(number: int) -> Log:
    found = Log.objects.filter(number=number).first()
    if found is None:
        raise Http404(f"There is no log {number} in the book.")
    return found
