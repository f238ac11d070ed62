"""The log with its slabs, and the opened log beside it, as one file for programs that show bodies."""

from __future__ import annotations

import json
import math
import struct
from collections.abc import Sequence
from typing import Any

from pithline.saw.plan import Plan
from pithline.sheets.solid import Body, bodies

__all__ = ["fan", "solid_glb"]

_APART = 0.02  # between neighbouring leaves at the hinge [m]
_BESIDE = 0.3  # between the log and the opened one [m]
_WIDEST = math.radians(170)  # of the whole fan
_NARROWEST = math.radians(24)  # between two leaves, where there are few


def fan(plan: Plan) -> tuple[tuple[float, tuple[float, float, float]], ...]:
    """How every slab is turned and moved from its place in the log to its leaf of the opened log.

    The leaves stand round a line that runs beside the pith line and like it, each with its left
    edge at this hinge, in the order that they lay, the top one leftmost.

    Parameters
    ----------
    plan : Plan

    Returns
    -------
    angle : float
        Anticlockwise seen from the butt, about the pith line. [rad]
    move : tuple of float
        Added to the turned points. [m]
    """
    slabs = plan.slabs
    if not slabs:
        return ()
    step = min(_NARROWEST, _WIDEST / max(len(slabs) - 1, 1))
    thickest = max(s.outline.thickness for s in slabs)
    # So far from the hinge the leaves stand clear of each other.
    inner = (thickest + _APART) / (2 * math.sin(step / 2)) if len(slabs) > 1 else _APART
    half = float(abs(plan.shape.over_bark()).max())
    widths = [float(max((s.outline.upper.max(), s.outline.lower.max()))) for s in slabs]
    lows = [float(min((s.outline.upper.min(), s.outline.lower.min()))) for s in slabs]
    reach = inner + max(w - low for w, low in zip(widths, lows, strict=True))
    hinge = (half + _BESIDE + reach, -half)
    found = []
    for n, (slab, low) in enumerate(zip(slabs, lows, strict=True)):
        angle = math.pi / 2 + step * ((len(slabs) - 1) / 2 - n)
        cosine, sine = math.cos(angle), math.sin(angle)
        middle = (slab.upper + slab.lower) / 2
        # Its left edge, at half its thickness, comes to lie at the inner end of the leaf.
        x, y = low - inner, middle
        found.append((angle, (hinge[0] - cosine * x + sine * y, hinge[1] - sine * x - cosine * y, 0.0)))
    return tuple(found)


def solid_glb(plan: Plan) -> bytes:
    """Log, slabs and opened log as one binary glTF 2.0 file, y up, in metres.

    Nodes ``log`` and ``opened log`` hold the slabs, in place and as leaves; both show the same bodies.

    References
    ----------
    .. [1] Khronos Group, *glTF 2.0 Specification*, 2021, sections 3.5, 3.6 and 4.4.
    """
    made = bodies(plan)
    meshes, accessors, views, data = _meshes(made)
    count = len(made)
    nodes: list[dict[str, Any]] = [{"mesh": n, "name": body.name} for n, body in enumerate(made)]
    for n, (angle, move) in enumerate(fan(plan), 1):
        turn = [0.0, 0.0, math.sin(angle / 2), math.cos(angle / 2)]
        nodes.append(
            {"mesh": n, "name": f"{made[n].name}, opened", "rotation": turn, "translation": list(move)}
        )
    nodes.append({"name": "the log", "children": list(range(count))})
    nodes.append({"name": "the opened log", "children": list(range(count, 2 * count - 1))})
    head = {
        "asset": {"version": "2.0", "generator": "Pithline"},
        "scene": 0,
        "scenes": [{"nodes": [len(nodes) - 2, len(nodes) - 1]}],
        "nodes": nodes,
        "meshes": meshes,
        "accessors": accessors,
        "bufferViews": views,
        "buffers": [{"byteLength": len(data)}],
    }
    told = json.dumps(head, separators=(",", ":")).encode()
    told += b" " * (-len(told) % 4)
    total = 12 + 8 + len(told) + 8 + len(data)
    return (
        struct.pack("<4sII", b"glTF", 2, total)
        + struct.pack("<I4s", len(told), b"JSON")
        + told
        + struct.pack("<I4s", len(data), b"BIN\0")
        + data
    )


def _meshes(
    made: Sequence[Body],
) -> tuple[list[dict[str, Any]], list[dict[str, Any]], list[dict[str, Any]], bytes]:
    """Meshes, accessors, views, and the numbers themselves."""
    meshes: list[dict[str, Any]] = []
    accessors: list[dict[str, Any]] = []
    views: list[dict[str, Any]] = []
    data = b""
    for n, body in enumerate(made):
        points = body.points.astype("<f4")
        corners = body.triangles.astype("<u4")
        for array, target in ((points, 34962), (corners, 34963)):
            raw = array.tobytes()
            views.append({"buffer": 0, "byteOffset": len(data), "byteLength": len(raw), "target": target})
            data += raw  # both kinds of numbers take four bytes, so every view stays aligned
        accessors += [
            {"bufferView": 2 * n, "componentType": 5126, "count": len(points), "type": "VEC3",
             "min": points.min(axis=0).tolist(), "max": points.max(axis=0).tolist()},
            {"bufferView": 2 * n + 1, "componentType": 5125, "count": corners.size, "type": "SCALAR"},
        ]  # fmt: skip
        meshes.append(
            {"primitives": [{"attributes": {"POSITION": 2 * n}, "indices": 2 * n + 1}], "name": body.name}
        )
    return meshes, accessors, views, data
