"""Measure: a form shaped like the job, with the log drawn as it is taped."""

from __future__ import annotations

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from pithline.units import System
from pithline.web.forms import Form, submit
from pithline.web.measure.asking import measure_form, record_of, tape_of
from pithline.web.measure.drawn import Drawn, draw
from pithline.yard.models import Log
from pithline.yard.preferences import setting

__all__ = ["faces", "index", "measure"]

_MEASURABLE = (Log.State.OFFERED, Log.State.TAKEN, Log.State.MEASURED, Log.State.PLANNED)


@require_safe
def index(request: HttpRequest) -> HttpResponse:
    """Which log?"""
    return render(request, "measure/index.html", {"logs": Log.objects.filter(state__in=_MEASURABLE)})


@require_http_methods(["GET", "HEAD", "POST"])
def measure(request: HttpRequest, number: int) -> HttpResponse:
    """Measure one log."""
    log = _find(number)
    form = measure_form(log, setting("system") == "inch")

    def page(request: HttpRequest, form: Form, status: int = 200) -> HttpResponse:
        return render(request, "measure/log.html", _known(log, form), status=status)

    def fragment(request: HttpRequest, form: Form, status: int = 200) -> HttpResponse:
        return render(request, "measure/form.html", _known(log, form), status=status)

    if request.method != "POST":
        return page(request, form)
    if "_draw" in request.POST:
        return (fragment if request.htmx else page)(request, form.sent(request))
    return submit(
        request,
        form,
        page,
        reverse("logs:log", args=[log.number]),
        "The measures are kept.",
        fragment,
    )


@require_POST
def faces(request: HttpRequest, number: int) -> HttpResponse:
    """Draw what is typed so far; nothing is kept."""
    log = _find(number)
    form = measure_form(log).sent(request)
    return render(request, "measure/faces.html", {"log": log, "drawn": _drawn(log, form)})


def _known(log: Log, form: Form) -> dict[str, object]:
    return {"log": log, "form": form, "drawn": _drawn(log, form)}


def _drawn(log: Log, form: Form) -> Drawn:
    system: System = "inch" if tape_of(form.said)[0] == "in" else "metric"
    wider = form.said.get("top_is_wider") is True
    return draw(log.name, log.species, record_of(form.said), wider, system)


def _find(number: int) -> Log:
    log = Log.objects.filter(number=number).first()
    if log is None:
        raise Http404(f"There is no log {number} in the book.")
    return log
