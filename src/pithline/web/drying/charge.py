"""A kiln load as its page shows it: the layers, what they are measured against, and what each slab pays."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from pithline.units import System, show_length, show_mass
from pithline.yard.cost_facts import spent_on, usual_costs
from pithline.yard.load_shares import days_in
from pithline.yard.models import KilnLoad

if TYPE_CHECKING:
    from pithline.dry.laying.charge import Charge
    from pithline.sheets.charge_words import LaidWords

__all__ = ["LayerShown", "Pays", "Shown", "cost_in_book", "pays", "shown"]

WIDTH, TALLEST, TEXT = 110.0, 60.0, 3.0  # of the drawing on a page; narrow, for a phone [mm]


@dataclass(frozen=True, slots=True)
class LayerShown:
    """One layer: its size in words, and how each slab of it lies."""

    number: int
    told: str
    slabs: tuple[LaidWords, ...]


@dataclass(frozen=True, slots=True)
class Shown:
    """A load laid.

    Attributes
    ----------
    head : str
    shelves : tuple of str
        Each thickness beside rectangles and beside what no plan beats.
    choice : str
        How good the choice is where not all go in.
    layers : tuple of LayerShown
        From the bottom.
    left_out : tuple of (why, names)
    sticks : str
    drawing : str
        From above, bottom layer first.
    """

    head: str
    shelves: tuple[str, ...]
    choice: str
    layers: tuple[LayerShown, ...]
    left_out: tuple[tuple[str, tuple[str, ...]], ...]
    sticks: str
    drawing: str


@dataclass(frozen=True, slots=True)
class Pays:
    """One slab's part of a load.

    Attributes
    ----------
    slab : str
    part : float
        Of the load's room and days. [fraction]
    air : float
        Of its part what dried air. [fraction]
    cost, air_cost : float or None
        None where nobody knows what the load costs. [money]
    days : float or None
        Where it left sooner than the load. [d]
    """

    slab: str
    part: float
    air: float
    cost: float | None
    air_cost: float | None
    days: float | None


def shown(charge: Charge, title: str, system: System) -> Shown:
    """Words and drawing of a load."""
    from pithline.sheets.charge_words import charge_head, choice_line, laid_words, shelf_line
    from pithline.sheets.layer_view import layer_view

    layers = []
    for n, layer in enumerate(charge.layers, 1):
        weight = f", {show_mass(layer.mass, system, up=True)}" if layer.mass else ""
        told = f"{show_length(layer.thickness, system)}{weight}, {layer.filled * 100:.0f} % of the floor"
        layers.append(LayerShown(n, told, tuple(laid_words(laid, system) for laid in layer.slabs)))
    out: dict[str, list[str]] = {}
    for one in charge.left_out:
        out.setdefault(one.why, []).append(one.name)
    sticks = charge.stickers
    rows = ", ".join(show_length(row, system, "long") for row in sticks.rows)
    return Shown(
        charge_head(charge, system),
        tuple(shelf_line(shelf, system) for shelf in charge.shelves),
        choice_line(charge),
        tuple(layers),
        tuple((why, tuple(names)) for why, names in out.items()),
        f"{len(sticks.rows)} rows of sticks {show_length(sticks.thickness, system)} thick, "
        f"{len(sticks.rows) * len(charge.layers)} in all; their middles from the near end at {rows}.",
        layer_view(charge.layers, charge.room.floor, sticks, title, system, WIDTH, TALLEST, TEXT),
    )


def cost_in_book(load: KilnLoad) -> float | None:
    """Work and money that were written down for a load; None where there is none. [money]"""
    from pithline.money.cost.log_cost import log_cost

    spent, written = spent_on(load), usual_costs()
    total = log_cost(spent.work, spent.money, written.value).total if written else sum(spent.money.values())
    return total if total > 0 else None


def pays(load: KilnLoad, charge: Charge, cost: float | None) -> tuple[tuple[Pays, ...], float]:
    """What each slab pays, and the part of the whole load's cost that dried air.

    Parameters
    ----------
    load : KilnLoad
    charge : Charge
        Of the slabs in it, or a proposal.
    cost : float or None
        [money]
    """
    from pithline.dry.laying.share import air_share, shared

    rows = list(load.loaded.select_related("slab__log"))
    ran, sooner = days_in(load, rows)
    laid = {one.slab.name for layer in charge.layers for one in layer.slabs}
    left = {one.slab.label: sooner[one.slab_id] for one in rows if one.slab_id in sooner}
    left = {name: days for name, days in left.items() if name in laid}
    shares = shared(charge, 1.0, ran or 1.0, left)
    told = tuple(
        Pays(
            one.name,
            one.share,
            one.air_cost / one.share if one.share else 0.0,
            None if cost is None else cost * one.share,
            None if cost is None else cost * one.air_cost,
            left.get(one.name),
        )
        for one in shares
    )
    return told, air_share(shares)
