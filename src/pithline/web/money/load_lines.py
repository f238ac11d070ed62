"""What a slab bears of each kiln load that it was in, by what, and how much of that dried air."""

from __future__ import annotations

from typing import TYPE_CHECKING

from pithline.web.money.log_sum import cost_of, volume_of
from pithline.yard.load_shares import load_shares

if TYPE_CHECKING:
    from pithline.money.cost.costs import Costs
    from pithline.yard.models import Slab

__all__ = ["load_lines"]


def load_lines(slab: Slab, costs: Costs, remarks: list[str]) -> dict[str, float]:
    """Of each kiln load that it was in: what that took, shared by room and days, else by volume.

    Parameters
    ----------
    slab : Slab
    costs : Costs
    remarks : list of str
        What it pays for air is added.

    Returns
    -------
    lines : dict of str to float
        What it is, and by what it is shared. [money]
    """
    found = {}
    for one in slab.loads.select_related("load"):
        load = one.load
        total = cost_of(load, costs)[0].total
        if total <= 0:
            continue
        rows = load.loaded.select_related("slab").prefetch_related("slab__sizes")
        shares = load_shares(load, {row.slab_id: volume_of(row.slab) or 0.0 for row in rows})
        if shares is None:
            continue
        its = total * shares.parts[slab.pk]
        found[f"kiln load {load.number}, {shares.told}"] = its
        if its > 0 and slab.pk in shares.air:
            air = total * shares.air[slab.pk]
            remarks.append(
                f"of the {its:.2f} for kiln load {load.number}, {air:.2f} dried air: beside it, "
                "between the layers, above them"
            )
    return found
