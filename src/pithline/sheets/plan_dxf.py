"""Slab outlines as a DXF drawing in millimetres, for a drawing program or a router."""

from __future__ import annotations

import io

from pithline.errors import Refused
from pithline.saw.plan import Plan

__all__ = ["outlines_dxf"]

LAYERS = {"UPPER_FACE": "Continuous", "LOWER_FACE": "DASHED", "PITH_LINE": "CENTER", "RUN_END": "Continuous"}
GAP = 150.0  # between slabs [mm]


def outlines_dxf(plan: Plan) -> bytes:
    """Draw both faces of every slab, one above the other, butt at the left.

    Parameters
    ----------
    plan : Plan

    Returns
    -------
    bytes
        DXF R2010, units millimetres. Layers ``UPPER_FACE``, ``LOWER_FACE``, ``PITH_LINE``,
        ``RUN_END`` (where the counted run begins and ends) and ``NUMBERS``.

    Raises
    ------
    Refused
        Where the extra for drawings is not installed.
    """
    try:
        from ezdxf.filemanagement import new
    except ImportError:
        raise Refused(
            'DXF needs the package ezdxf, which is not installed; run: pip install "pithline[cad]"'
        ) from None
    document = new("R2010", setup=True, units=4)  # 4 is millimetres
    for name, stroke in LAYERS.items():
        document.layers.add(name, linetype=stroke)
    document.layers.add("NUMBERS")
    space = document.modelspace()
    base = 0.0
    for slab in plan.slabs:
        o = slab.outline
        left = min(float(o.upper.min()), float(o.lower.min())) * 1000
        right = max(float(o.upper.max()), float(o.lower.max())) * 1000
        # Seen from above with the butt at the left, the right of the log is towards the foot.
        pith = base + left
        for layer, face in (("UPPER_FACE", o.upper), ("LOWER_FACE", o.lower)):
            there = [
                (z * 1000, pith - x * 1000) for z, x in zip(o.z.tolist(), face[:, 0].tolist(), strict=True)
            ]
            back = [
                (z * 1000, pith - x * 1000) for z, x in zip(o.z.tolist(), face[:, 1].tolist(), strict=True)
            ]
            space.add_lwpolyline(there + back[::-1], close=True, dxfattribs={"layer": layer})
        space.add_line((0, pith), (plan.shape.length * 1000, pith), dxfattribs={"layer": "PITH_LINE"})
        for z in (slab.start * 1000, slab.end * 1000):
            space.add_line((z, pith - left), (z, pith - right), dxfattribs={"layer": "RUN_END"})
        told = f"slab {slab.number}  {slab.aim.label}  {o.thickness * 1000:.0f} mm green"
        space.add_text(told, height=40, dxfattribs={"layer": "NUMBERS"}).set_placement((0, pith - left + 20))
        base = pith - right - GAP
    text = io.StringIO()
    document.write(text)
    return text.getvalue().encode(document.output_encoding)
