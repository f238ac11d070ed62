"""Plan: any change redraws the log, the slabs and the sums; a cut can be dragged; one is picked."""

from __future__ import annotations

import datetime
import math
import uuid
import zoneinfo
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any
from urllib.parse import parse_qs, urlsplit

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseRedirect, JsonResponse, QueryDict
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_POST, require_safe

from pithline import units
from pithline.errors import BadValue, Refused
from pithline.saw.moved import Wish
from pithline.sheets.end_view import end_scale, end_view
from pithline.sheets.side_view import side_view
from pithline.sheets.wording import amount
from pithline.units import System
from pithline.web.forms import leave, who
from pithline.web.plan.controls import Controls, controls_of
from pithline.web.plan.papers import PAPERS, paper
from pithline.web.plan.picking import address_of
from pithline.web.plan.reckoning import Live, live, price_of_cuts, whole
from pithline.web.plan.shelf import logs_to_plan, plans_of
from pithline.web.plan.shown import show, show_further
from pithline.web.plan.warming import warmed
from pithline.yard.ids import new_id
from pithline.yard.kinds import perform
from pithline.yard.models import Log, Plan
from pithline.yard.planning import tables_of
from pithline.yard.preferences import setting

__all__ = ["choose", "further", "index", "keep", "log", "paper_of", "price", "solid"]

_WAIT = 4.0  # [s] a kept compilation is read in a second or two; longer means that it is being made


@dataclass(frozen=True, slots=True)
class _Asked:
    """One request: the log, the controls and the system of its sizes."""

    log: Log
    controls: Controls
    system: System

    @classmethod
    def of(cls, number: int, query: QueryDict) -> _Asked:
        found = Log.objects.select_related("place").filter(number=number).first()
        if found is None:
            raise Http404(f"There is no log {number} in the book.")
        return cls(found, controls_of(tables_of(found), query), setting("system"))

    @classmethod
    def measured(cls, number: int, query: QueryDict) -> _Asked:
        """As `of`; a log without measures has no plan to be found."""
        try:
            return cls.of(number, query)
        except BadValue as problem:
            raise Http404(str(problem)) from None

    def live(self) -> Live:
        if self.controls.fault:
            raise self.controls.fault
        return live(self.controls.tables, self.controls.moved, self.system)


@require_safe
def index(request: HttpRequest) -> HttpResponse:
    """Which log?"""
    return render(request, "plan/index.html", {"logs": logs_to_plan()})


@require_safe
def log(request: HttpRequest, number: int) -> HttpResponse:
    """The plan of one log as its controls stand: the page, or what a change redraws."""
    try:
        asked = _Asked.of(number, request.GET)
    except BadValue as problem:
        found = Log.objects.filter(number=number).first()
        return render(request, "plan/unmeasured.html", {"log": found, "problem": problem}, status=409)
    if not warmed(_WAIT):
        answer = render(request, "plan/compiling.html", {"log": asked.log})
        answer["Refresh"] = "3"
        answer["HX-Refresh"] = "true"
        return answer
    htmx = getattr(request, "htmx", None)
    fragment = bool(htmx and not htmx.history_restore_request)
    try:
        if request.GET.get("move"):
            return HttpResponseRedirect(_by_hand(asked, request.GET))
        found = asked.live()
        known = _known(asked, found)
        if "all" in request.GET and not (fragment or found.faults):
            known |= _further(asked)
    except Refused as problem:
        return _refused(request, asked, problem, fragment)
    known["cleared"] = _cleared(asked.controls, request.GET.get("refused", ""))
    answer = render(request, "plan/_answer.html" if fragment else "plan/log.html", known)
    if htmx and fragment:
        # A moved cut is a step to go back by; a turned slider is not.
        before = parse_qs(urlsplit(htmx.current_url or "").query).get("moved", [""])[0]
        header = "HX-Push-Url" if before != asked.controls.moved else "HX-Replace-Url"
        answer[header] = f"{request.path}?{asked.controls.address()}"
    return answer


@require_safe
def further(request: HttpRequest, number: int) -> HttpResponse:
    """What takes longer: ranges, other ways, what is worth measuring, the opened log."""
    asked = _Asked.measured(number, request.GET)
    try:
        return render(request, "plan/_further.html", _known(asked, asked.live()) | _further(asked))
    except Refused as problem:
        return render(request, "plan/_refusal.html", {"problem": problem}, status=422)


@require_safe
def price(request: HttpRequest, number: int) -> JsonResponse:
    """What a cut at each height costs, for the drawing while a cut is dragged."""
    asked = _Asked.measured(number, request.GET)
    try:
        found = asked.live()
        costs = price_of_cuts(asked.controls.tables, asked.system)
    except Refused as problem:
        return JsonResponse({"problem": str(problem)}, status=422)
    return JsonResponse(
        {
            "heights_m": [round(h, 6) for h, _ in costs],
            "costs": [round(c, 6) for _, c in costs],
            "said": [amount(found.plan, c) for _, c in costs],
        }
    )


@require_safe
def paper_of(request: HttpRequest, number: int, name: str) -> HttpResponse:
    """One file of the plan."""
    if name not in PAPERS:
        raise Http404(f"A plan has no {name}.")
    asked = _Asked.measured(number, request.GET)
    try:
        found = asked.live()
        if found.faults:
            raise BadValue("moved", asked.controls.moved, "cuts that can be made", " ".join(found.faults))
        plan = (
            whole(asked.controls.tables, asked.controls.moved, asked.system)
            if PAPERS[name][1]
            else found.plan
        )
    except Refused as problem:
        return render(request, "plan/unmeasured.html", {"log": asked.log, "problem": problem}, status=422)
    zone = (asked.log.place.zone if asked.log.place else "") or setting("zone")
    dated = datetime.datetime.now(zoneinfo.ZoneInfo(zone)).date().isoformat()
    title = f"{asked.log} · {found.inputs.record.species.name}"
    media, data = paper(name, plan, found.inputs.timber, title, setting("paper"), asked.system, dated)
    answer = HttpResponse(data, content_type=media)
    # A page with a script of its own is to be opened from a file: here it may run none.
    way = "attachment" if name.endswith(".html") else "inline"
    answer["Content-Disposition"] = f'{way}; filename="log-{number}-{name}"'
    return answer


@require_safe
def solid(request: HttpRequest, number: int) -> HttpResponse:
    """The log and its slabs to turn and open."""
    if not _has_solid():
        raise Http404("The 3-D view was left out when this copy was installed.")
    asked = _Asked.measured(number, request.GET)
    try:
        found = asked.live()
    except Refused as problem:
        return _refused(request, asked, problem, fragment=False)
    return render(request, "plan/solid.html", _known(asked, found))


@require_POST
def keep(request: HttpRequest, number: int) -> HttpResponse:
    """Keep the plan as its controls stand, to saw by."""
    asked = _Asked.measured(number, QueryDict(request.POST.get("plan", "")))
    said: dict[str, Any] = {name: asked.controls.tables[name] for name in ("mill", "aims", "rates")}
    said |= {"log": str(number), "name": request.POST.get("name", "").strip()}
    if asked.controls.moved:
        said["moved"] = asked.controls.moved
    try:
        perform("keep_plan", said, who=who(request), id=_identity(request.POST.get("_entry", "")))
    except Refused as problem:
        return _refused(request, asked, problem, fragment=False)
    messages.success(request, "The plan is kept, with its sheet as printed. This is the plan to saw by.")
    return leave(request, f"{reverse('plan:log', args=[number])}?{asked.controls.address()}")


@require_POST
def choose(request: HttpRequest, number: int, kept: int) -> HttpResponse:
    """Make a kept plan the one to saw by."""
    found = Plan.objects.filter(log__number=number, number=kept).first()
    if found is None:
        raise Http404(f"Log {number} has no plan {kept}.")
    try:
        said = {"plan": f"{number}/{kept}"}
        perform("choose_plan", said, who=who(request), id=_identity(request.POST.get("_entry", "")))
    except Refused as problem:
        messages.error(request, str(problem))
    else:
        messages.success(request, f"Plan {number}/{kept} is the one to saw by.")
    return leave(request, reverse("plan:log", args=[number]))


def _known(asked: _Asked, found: Live) -> dict[str, Any]:
    """What the page and its fragments tell."""
    plan, controls, system = found.plan, asked.controls, asked.system
    earlier = controls.trail.split(";")[:-1]  # each wish ends in ";", and no wish is one too
    cuts = sorted(plan.cuts, key=lambda c: -c.upper)
    return {
        "log": asked.log,
        "controls": controls,
        "shown": show(plan, system),
        "plan": plan,
        "butt": end_view(plan, "butt", system),
        "top": end_view(plan, "top", system),
        "side": side_view(plan, system),
        "millimetres": 1000 / end_scale(plan),
        "step": plan.step,
        "system": system,
        "heights": [(c.number, f"{c.upper:.6g}") for c in cuts],
        "pinned": [f"{h:.6g}" for h in found.wish.heights] if found.wish else [],
        "way": found.wish.way if found.wish else "follow",
        "faults": found.faults,
        "short": _short(found),
        "query": controls.address(),
        "pairs": [(n, v) for n, values in QueryDict(controls.address()).lists() for v in values],
        "undo": controls.address(moved=earlier[-1], trail="".join(f"{w};" for w in earlier[:-1]))
        if earlier
        else "",
        "best": controls.address(moved="", trail=""),
        "plans": [(kept, _settings_of(kept), new_id()) for kept in plans_of(asked.log)],
        "papers": [(name, told) for name, (_, _, told, _) in PAPERS.items() if name != "solid.json"],
        "degrees": f"{math.degrees(math.remainder(plan.roll, 2 * math.pi)):.1f}".removesuffix(".0"),
        "entry": new_id(),
        "has_solid": _has_solid(),
    }


def _settings_of(kept: Plan) -> str:
    """The address of this page with the settings of a kept plan."""
    return controls_of(kept.inputs, QueryDict("")).address(moved=kept.inputs.get("moved", ""))


@cache
def _has_solid() -> bool:
    """Whether the 3-D view was bundled when this copy was installed."""
    from django.contrib.staticfiles import finders

    return finders.find("plan/solid.js") is not None


def _further(asked: _Asked) -> dict[str, Any]:
    from pithline.sheets.opened_log import opened_log
    from pithline.sheets.retake_chart import retake_chart

    plan = whole(asked.controls.tables, asked.controls.moved, asked.system)
    further = show_further(plan, asked.system)
    for way in further["ways"]:
        way["pick"] = "" if way["chosen"] else address_of(way["name"], asked.controls)
    return {"further": further, "opened": opened_log(plan, asked.system), "chart": retake_chart(plan)}


def _short(found: Live) -> str:
    """What the moved cuts cost, in words; empty where nothing was moved."""
    if found.wish is None or found.faults:
        return ""
    if found.short <= 1e-9 * max(1.0, abs(found.best)):
        return "as good as the best plan"
    return f"{amount(found.plan, found.short)} less than the best plan"


def _refused(request: HttpRequest, asked: _Asked, problem: Refused, fragment: bool) -> HttpResponse:
    """The reason beside its control; the last plan that worked stays drawn."""
    controls = asked.controls.refused(problem)
    known = {"log": asked.log, "controls": controls, "query": controls.address(), "problem": problem}
    known["stays"] = fragment
    if not fragment:
        return render(request, "plan/log.html", known, status=422)
    answer = render(request, "plan/_refused.html", known, status=422)
    answer["HX-Retarget"], answer["HX-Reswap"] = "#refusal", "innerHTML"
    return answer


def _cleared(controls: Controls, name: str) -> Any:
    """A control that was refused the last time and is not now: shown clean again."""
    return next((part for group in controls.groups for part in group.parts if part.name == name), None)


def _by_hand(asked: _Asked, query: Mapping[str, str]) -> str:
    """Where a cut moved by number and distance leads."""
    text = query.get("move", "")
    by = units.length(query.get("by", ""), "move by", signed=True)
    found = asked.live()
    cut = next((c for c in found.plan.cuts if str(c.number) == text), None)
    if cut is None:
        raise BadValue("cut", text, f"a number from 1 to {len(found.plan.cuts)}")
    to, heights = round(cut.upper + by, 6), [c.upper for c in found.plan.cuts]
    if query.get("way") == "stay":
        wish = Wish("stay", tuple(sorted((to if h == cut.upper else h for h in heights), reverse=True)))
    else:
        earlier = found.wish.heights if found.wish and found.wish.way == "follow" else ()
        wish = Wish("follow", (*(h for h in earlier if abs(h - cut.upper) > 1e-6), to))
    trail = f"{asked.controls.trail}{asked.controls.moved};"
    address = asked.controls.address(moved=str(wish), trail=trail)
    return f"{reverse('plan:log', args=[asked.log.number])}?{address}"


def _identity(text: str) -> uuid.UUID | None:
    try:
        return uuid.UUID(text)
    except ValueError:
        return None
