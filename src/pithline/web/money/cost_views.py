"""What an hour costs, what a log cost, and who bears the overhead."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.db.models import Q
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_safe

from pithline.errors import BadValue
from pithline.fields import Table
from pithline.money.cost.joint_cost import WAYS
from pithline.money.cost.written import COSTS, FIVE
from pithline.web.clock import today
from pithline.web.forms import Form, form_of, submit
from pithline.web.money.hour import METHOD, hour_lines
from pithline.web.money.known_prices import known_prices
from pithline.web.money.log_sum import log_sum
from pithline.web.money.overhead import overhead_now
from pithline.yard.cost_facts import usual_costs
from pithline.yard.models import Effort, Log, Profile, Spending
from pithline.yard.money import currency
from pithline.yard.preferences import setting

__all__ = ["costs", "log", "spend"]

_SPENT = {"note_work": "Write down work", "note_spending": "Write down money spent"}


@require_http_methods(["GET", "HEAD", "POST"])
def costs(request: HttpRequest) -> HttpResponse:
    """Five questions, and the machine rate behind them line by line."""
    form = _five(Profile.objects.filter(kind=Profile.Kind.COSTS, usual=True).first())
    if request.method == "POST":
        return submit(
            request, form, _costs_page, reverse("money:costs"), "Kept. Every sum from now on uses it."
        )
    return _costs_page(request, form)


@require_safe
def log(request: HttpRequest, number: int) -> HttpResponse:
    """What one log cost, and every slab's share in every way."""
    return _log_page(request, _find(number))


@require_http_methods(["GET", "HEAD", "POST"])
def spend(request: HttpRequest, number: int, kind: str) -> HttpResponse:
    """Hours or money for one log."""
    found = _find(number)
    if kind not in _SPENT:
        raise Http404("There is no such thing to write down.")
    form = _spent_form(found, kind)
    if request.method != "POST":
        return _log_page(request, found, form)
    return submit(
        request,
        form,
        lambda r, f, status: _log_page(r, found, f, status),
        reverse("money:log", args=[number]),
        f"It is written down for log {number}.",
    )


def _five(usual: Profile | None) -> Form:
    """The five questions; what else the usual costs say stays as it is."""
    table = Table("", "", (Table("costs", COSTS.help, tuple(COSTS[name] for name in FIVE)),))
    old = dict(usual.table) if usual else {}

    def entered(words: Mapping[str, Any]) -> dict[str, Any]:
        kept = {name: value for name, value in old.items() if name not in FIVE} | words.get("costs", {})
        return {"kind": "costs", "name": usual.name if usual else "costs", "table": kept, "usual": True}

    said = {"costs": {name: old[name] for name in FIVE if name in old}}
    return Form("keep_profile", table, reverse("money:costs"), "Keep these five", said, entered=entered)


def _costs_page(request: HttpRequest, form: Form, status: int = 200) -> HttpResponse:
    written = usual_costs()
    known: dict[str, Any] = {
        "form": form,
        "tab": "costs",
        "usual": Profile.objects.filter(kind=Profile.Kind.COSTS, usual=True).first(),
        "logs": Log.objects.filter(Q(state=Log.State.SAWN) | Q(efforts__isnull=False)).distinct()[:200],
    }
    if written:
        day = today()
        known |= {
            "written": written,
            "lines": hour_lines(written.value),
            "method": METHOD,
            "code": written.value.currency or currency(),
            "overhead": overhead_now(written.value, known_prices(day), day),
        }
    return render(request, "money/costs.html", known, status=status)


def _log_page(request: HttpRequest, found: Log, form: Form | None = None, status: int = 200) -> HttpResponse:
    known: dict[str, Any] = {
        "log": found,
        "tab": "costs",
        "efforts": Effort.objects.filter(log=found),
        "spendings": Spending.objects.filter(log=found),
        "acts": list(_SPENT.items()),
        "form": form,
        "code": currency(),
        "ways": WAYS,
        "chosen": setting("share_cost_by"),
    }
    written = usual_costs()
    if written:
        try:
            known["sum"] = log_sum(found, written.value, known_prices(today()))
        except BadValue as wrong:
            known["problem"] = str(wrong)
        known["chosen_at"] = WAYS.index(known["chosen"])
    return render(request, "money/log.html", known, status=status)


def _spent_form(found: Log, kind: str) -> Form:
    return form_of(
        kind,
        reverse("money:spend", args=[found.number, kind]),
        button="Keep it",
        fixed={"about": f"log {found.number}"},
    )


def _find(number: int) -> Log:
    found = Log.objects.select_related("place").filter(number=number).first()
    if found is None:
        raise Http404(f"There is no log {number} in the book.")
    return found
