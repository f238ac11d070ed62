"""Kiln loads: planned, started, set, ended; their schedule, days, water and energy; the kiln log."""

from __future__ import annotations

from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_safe

from pithline.errors import BadValue, Refused
from pithline.web.clock import today
from pithline.web.drying.load import planned, said_by_boards
from pithline.web.forms import Form, form_of, submit
from pithline.yard.charge_kept import charge_kept
from pithline.yard.kinds import Done
from pithline.yard.models import KilnLoad, Profile, Sample, Slab
from pithline.yard.preferences import setting

__all__ = ["do", "find", "load", "new", "paper"]

# Kind, title, button, whether it is offered before the start, while it runs, after the end.
ACTS = (
    ("change_load", "Change what is in it, its schedule, its target", "Keep this", (True, True, False)),
    ("start_load", "It goes in", "It is in the kiln", (True, False, False)),
    ("cut_sample", "A sample board for it", "Keep this board", (True, True, False)),
    ("weigh_piece", "Weigh a sample board", "Keep this weight", (True, True, False)),
    ("set_kiln", "Set the kiln", "It is set so", (False, True, False)),
    ("end_load", "It comes out", "It is out", (False, True, False)),
    ("mark_loaded", "Mark one slab", "Keep this mark", (True, True, True)),
)


@require_http_methods(["GET", "HEAD", "POST"])
def new(request: HttpRequest) -> HttpResponse:
    """Plan a load of the ticked slabs."""
    kilns = list(Profile.objects.filter(kind=Profile.Kind.KILN).values_list("name", flat=True))
    form = form_of(
        "load_kiln",
        reverse("drying:new-load"),
        button="Plan this load",
        said={"slabs": [{"slab": label} for label in request.GET.getlist("slab")]},
        skip=("layout", "steps"),
        offers={"kiln": kilns, "slab": _in_stacks()},
    )

    def page(request: HttpRequest, form: Form, status: int = 200) -> HttpResponse:
        return render(request, "drying/new_load.html", {"form": form, "kilns": kilns}, status=status)

    def to(done: Done) -> str:
        made: KilnLoad = done.subject  # type: ignore[assignment]
        # Without slabs the next thing is to choose them.
        return reverse("drying:load" if made.loaded.exists() else "drying:charge", args=[made.number])

    return (
        submit(request, form, page, to, "The load is planned.")
        if request.method == "POST"
        else page(request, form)
    )


@require_safe
def load(request: HttpRequest, number: int) -> HttpResponse:
    """One load."""
    return _page(request, find(number))


@require_http_methods(["GET", "HEAD", "POST"])
def do(request: HttpRequest, number: int, kind: str) -> HttpResponse:
    """One entry about the load; its form stands on the load's page."""
    found = find(number)
    form = _form(found, kind)
    if request.method != "POST":
        if request.htmx:
            return render(request, "form/entry.html", {"form": form})
        return _page(request, found, form)
    return submit(
        request,
        form,
        lambda r, f, status: _page(r, found, f, status),
        reverse("drying:load", args=[found.number]),
        f"It is written down for {found}.",
    )


@require_safe
def paper(request: HttpRequest, number: int) -> HttpResponse:
    """The kiln log, as a PDF to fill in by hand."""
    from pithline.sheets.kiln_log import kiln_log

    found = find(number)
    try:
        made = planned(found, today())
    except BadValue as wrong:
        raise Http404(f"There is no log of this load yet. {wrong}"[:290]) from None
    size = setting("paper")
    which = f"load {found.number} {found.name}".strip()
    data = kiln_log(made.run, made.kiln, made.pieces, size, f"{which} · {today().isoformat()}")
    answer = HttpResponse(data, content_type="application/pdf")
    answer["Content-Disposition"] = f'inline; filename="kiln-log-{found.number}.pdf"'
    return answer


def find(number: int) -> KilnLoad:
    """The load of this number, or the page that says there is none."""
    found: KilnLoad = get_object_or_404(KilnLoad.objects.select_related("kiln"), number=number)
    return found


def _in_stacks() -> list[str]:
    """Slabs that still dry, offered while typing."""
    drying = Slab.objects.filter(stack__isnull=False, state__in=(Slab.State.GREEN, Slab.State.DRYING))
    drying = drying.select_related("log").order_by("log__number", "number", "suffix")
    return [slab.label for slab in drying[:200]]


def _offered(found: KilnLoad) -> list[tuple[str, str]]:
    at = 0 if found.started_at is None else 1 if found.ended_at is None else 2
    return [(kind, title) for kind, title, _, when in ACTS if when[at]]


def _form(found: KilnLoad, kind: str) -> Form:
    act = next((one for one in ACTS if one[0] == kind and any(k == kind for k, _ in _offered(found))), None)
    if act is None:
        raise Http404("There is no such thing to do with this load now.")
    samples = list(Sample.objects.filter(load=found, done=False).values_list("name", flat=True))
    weighing = kind == "weigh_piece"
    return form_of(
        kind,
        reverse("drying:load-do", args=[found.number, kind]),
        button=act[2],
        fixed={} if weighing else {"load": str(found.number)},
        skip=("slab",) if weighing else ("layout", "steps", "stack") if kind != "mark_loaded" else (),
        said={"sample": samples[0]}
        if weighing and len(samples) == 1
        else {"kind": "board"}
        if kind == "cut_sample"
        else {},
        offers={"sample": samples, "slab": [one.slab.label for one in _inside(found)]},
    )


def _inside(found: KilnLoad) -> list[Any]:
    return list(
        found.loaded.select_related("slab__log").order_by("layer", "slab__log__number", "slab__number")
    )


def _page(request: HttpRequest, found: KilnLoad, form: Form | None = None, status: int = 200) -> HttpResponse:
    known: dict[str, Any] = {
        "load": found,
        "inside": _inside(found),
        "laid": _laid(found),
        "acts": _offered(found),
        "form": form,
        "steps": list(found.made_steps.all()),
        "system": setting("system"),
        "price": request.GET.get("price", ""),
    }
    try:
        made = planned(found, today())
        known |= {
            "made": made,
            "run": made.run,
            "said": said_by_boards(found, made) if found.ended_at is None else None,
        }
        known["cost"] = _cost(request.GET.get("price", ""), made.run.energy)
    except Refused as wrong:
        known["problem"] = str(wrong)
        if request.GET.get("price"):
            status = 422
    return render(request, "drying/load.html", known, status=status)


def _laid(found: KilnLoad) -> str:
    """How it lies, in a sentence; empty where it was not laid."""
    from pithline.sheets.charge_words import charge_head

    charge = charge_kept(found)
    return "" if charge is None else charge_head(charge, setting("system"))


def _cost(price: str, energy: Any) -> tuple[Any, str] | None:
    """What the energy costs at a price such as "0.30 EUR per kWh"."""
    from pithline.dry.kiln.written import energy_price

    if not price.strip():
        return None
    each, currency = energy_price(price, "price")
    return energy.times(each), currency
