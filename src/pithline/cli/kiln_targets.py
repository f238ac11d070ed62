"""``pithline kiln targets``: the moisture a use asks for, and what a slab is ready for."""

from __future__ import annotations

import click

__all__ = ["targets"]


@click.command(
    "targets",
    epilog="""
\b
Examples:
  pithline kiln targets
  pithline kiln targets --use "indoors, most of the US" --at "22 %" --json
""",
)
@click.option("--use", "place", metavar="USE", help="Where the piece will live; without it all are listed.")
@click.option("--at", "now", metavar="SHARE", help='Mean moisture of a slab: "22 %".')
@click.option("--json", "as_json", is_flag=True, help="Print JSON (schema pithline/kiln-targets/1).")
def targets(place: str | None, now: str | None, as_json: bool) -> None:
    """Target moistures by use, and the milestones on the way there.

    Wood Handbook FPL-GTR-190 (2010), Table 13-2, and EN 942 (both from memory).
    """
    from pithline import units
    from pithline.dry import milestones as marks
    from pithline.errors import BadValue

    where = marks.use(place) if place else None
    listed = marks.milestones(where)
    moisture = units.share(now, "--at") if now else None
    if moisture is not None and moisture > 3:
        raise BadValue("--at", now, "at most 300 %", 'Write "22 %".')
    ahead = marks.next_milestone(moisture, listed) if moisture is not None else None
    if as_json:
        import json

        record = {
            "schema": "pithline/kiln-targets/1",
            "milestones": [
                {
                    "name": each.name,
                    "moisture_percent": round(each.moisture * 100, 3),
                    "low_percent": round(each.low * 100, 3),
                    "high_percent": round(each.high * 100, 3),
                    "reached": None if moisture is None else moisture <= each.moisture,
                    "may": each.may,
                    "source": each.source,
                }
                for each in listed
            ],
            "next": ahead.name if ahead else None,
            "uses": [
                {"use": each.name, "moisture_percent": round(each.moisture * 100, 3), "source": each.source}
                for each in ([where] if where else marks.uses())
            ],
        }
        click.echo(json.dumps(record, indent=2, ensure_ascii=False))
        return
    for each in listed:
        reached = " (reached)" if moisture is not None and moisture <= each.moisture else ""
        click.echo(f"{each.moisture * 100:>5.1f} %  {each.name}{reached}: {each.may}; {each.source}")
    if where is None:
        click.echo("uses:")
        for room in marks.uses():
            span = f"{room.low * 100:.0f} to {room.high * 100:.0f} %"
            click.echo(f"{room.moisture * 100:>5.1f} %  {room.name} ({span}); {room.source}")
