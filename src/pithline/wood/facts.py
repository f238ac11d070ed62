"""What is known of each wood, every number with its source and its mark."""

from __future__ import annotations

import csv
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields
from functools import cache
from importlib.resources import files

__all__ = ["Fact", "Species", "all_species"]


@dataclass(frozen=True, slots=True)
class Fact:
    """One published number.

    Attributes
    ----------
    value : float
        In the unit that the field of `Species` names.
    key : str
        Short name of the source.
    source : str
        Full citation.
    mark : {"read", "from memory", "derived"}
        How the number came here: read in a copy of the source, remembered, or
        reckoned from another number that was read.
    """

    value: float
    key: str
    source: str
    mark: str

    def cited(self) -> str:
        """Citation with the mark, as it is shown to people."""
        return f"{self.source} [{self.mark}]"


@dataclass(frozen=True, slots=True)
class Species:
    """A wood and its numbers; None where nothing is known.

    Attributes
    ----------
    name, scientific : str
        Names with "grown" or a growth stage are a wood from one place or age.
    group : {"hardwood", "softwood"}
    region : str
        Where it grows.
    sg_basic, sg_basic_alt, sg_basic_low, sg_basic_high : Fact, optional
        Oven-dry mass over green volume and the density of water; a second source's
        value; span of the entries behind a mean. [-]
    sg_12 : Fact, optional
        Oven-dry mass over volume at 12 % moisture. [-]
    mc_heartwood, mc_sapwood, mc_whole : Fact, optional
        Green moisture content, dry basis. [fraction]
    green_density : Fact, optional
        Published weight class of green wood. [kg/m3]
    shrink_radial, shrink_tangential, shrink_volumetric : Fact, optional
        Green to oven-dry, of the green size. [fraction]
    cr, ct : Fact, optional
        Radial and tangential change of size, of the size, per percent of moisture.
    fsp : Fact, optional
        Fibre saturation point where it is not the usual 30 %. [fraction]
    notes : str
        Doubts about the numbers.
    """

    name: str
    scientific: str
    group: str
    region: str
    sg_basic: Fact | None
    sg_basic_alt: Fact | None
    sg_basic_low: Fact | None
    sg_basic_high: Fact | None
    sg_12: Fact | None
    mc_heartwood: Fact | None
    mc_sapwood: Fact | None
    mc_whole: Fact | None
    green_density: Fact | None
    shrink_radial: Fact | None
    shrink_tangential: Fact | None
    shrink_volumetric: Fact | None
    cr: Fact | None
    ct: Fact | None
    fsp: Fact | None
    notes: str

    @property
    def genus(self) -> str:
        """First word of the scientific name, without a hybrid's cross."""
        return self.scientific.removeprefix("x ").split()[0]

    def facts(self) -> Iterator[tuple[str, Fact]]:
        """Every number that is known, by field."""
        for field in fields(self):
            fact = getattr(self, field.name)
            if isinstance(fact, Fact):
                yield field.name, fact


# Column of the table and what its printed figure is divided by.
_COLUMNS = {
    "sg_basic": ("sg_basic", 1),
    "sg_basic_alt": ("sg_basic_alt", 1),
    "sg_basic_low": ("sg_basic_low", 1),
    "sg_basic_high": ("sg_basic_high", 1),
    "sg_12": ("sg_12", 1),
    "mc_heartwood": ("mc_heartwood_pct", 100),
    "mc_sapwood": ("mc_sapwood_pct", 100),
    "mc_whole": ("mc_whole_pct", 100),
    "green_density": ("green_density_kg_m3", 1),
    "shrink_radial": ("shrink_radial_pct", 100),
    "shrink_tangential": ("shrink_tangential_pct", 100),
    "shrink_volumetric": ("shrink_volumetric_pct", 100),
    "cr": ("cr", 1),
    "ct": ("ct", 1),
    "fsp": ("fsp_pct", 100),
}


@cache
def all_species() -> tuple[Species, ...]:
    """Every wood of the table, in its order.

    Returns
    -------
    species : tuple of Species
        The table is read once.
    """
    sources = {row["key"]: row for row in rows("sources.csv")}
    return tuple(_species(row, sources) for row in rows("species.csv"))


def rows(name: str) -> list[dict[str, str]]:
    """Rows of one of this room's own tables."""
    text = files("pithline.wood").joinpath("data", name).read_text(encoding="utf-8")
    return list(csv.DictReader(text.splitlines()))


def _species(row: Mapping[str, str], sources: Mapping[str, Mapping[str, str]]) -> Species:
    facts = {field: _fact(row, column, per, sources) for field, (column, per) in _COLUMNS.items()}
    return Species(
        name=row["common_name"],
        scientific=row["scientific_name"],
        group=row["group"],
        region=row["region"],
        notes=row["notes"],
        **facts,
    )


def _fact(
    row: Mapping[str, str], column: str, per: int, sources: Mapping[str, Mapping[str, str]]
) -> Fact | None:
    if not row[column]:
        return None
    # The span of a mean has the source of the number that it belongs to.
    key = row.get(f"src_{column}") or row["src_sg_basic"]
    return Fact(round(float(row[column]) / per, 9), key, sources[key]["citation"], sources[key]["mark"])
