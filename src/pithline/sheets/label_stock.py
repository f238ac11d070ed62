"""Sheets of labels as they are sold: how many, how large, where they lie on the paper."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Self

from pithline.errors import BadValue
from pithline.sheets.cut_sheet import Paper

__all__ = ["PAPERS", "STOCKS", "LabelStock"]

PAPERS: dict[Paper, tuple[float, float]] = {"a4": (210.0, 297.0), "us-letter": (215.9, 279.4)}  # [mm]
_SMALLEST = (40.0, 20.0)  # a number and a code that can still be read [mm]
_SLACK = 0.3  # grids that fill the page are cut a hair over it [mm]


@dataclass(frozen=True, slots=True)
class LabelStock:
    """One kind of label sheet; all measures in millimetres of paper.

    Attributes
    ----------
    paper : {"a4", "us-letter"}
    columns, rows : int
    width, height : float
        Of one label. [mm]
    left, top : float
        From the paper's edge to the first label. [mm]
    across, down : float
        Gap between two labels. [mm]
    """

    paper: Paper
    columns: int
    rows: int
    width: float
    height: float
    left: float
    top: float
    across: float = 0.0
    down: float = 0.0

    @classmethod
    def of(
        cls,
        paper: Paper,
        columns: int,
        rows: int,
        width: float,
        height: float,
        left: float,
        top: float,
        across: float = 0.0,
        down: float = 0.0,
    ) -> Self:
        """Check a sheet that was measured by hand. [mm]

        Raises
        ------
        BadValue
            Labels too small to read, or more of them than the paper holds.
        """
        if paper not in PAPERS:
            raise BadValue("paper", paper, f"one of {', '.join(PAPERS)}")
        for name, count in (("columns", columns), ("rows", rows)):
            if not 1 <= count <= 40:
                raise BadValue(name, count, "from 1 to 40")
        for name, size, least in (("width", width, _SMALLEST[0]), ("height", height, _SMALLEST[1])):
            if not size >= least:
                raise BadValue(
                    name, f"{size:g} mm", f"at least {least:g} mm", "A smaller label holds no code."
                )
        for name, gap in (("left", left), ("top", top), ("across", across), ("down", down)):
            if not gap >= 0:
                raise BadValue(name, f"{gap:g} mm", "0 mm or more")
        wide, tall = PAPERS[paper]
        for name, used, have in (
            ("columns", left + columns * width + (columns - 1) * across, wide),
            ("rows", top + rows * height + (rows - 1) * down, tall),
        ):
            if used > have + _SLACK:
                raise BadValue(
                    name,
                    f"{used:g} mm in all",
                    f"at most {have:g} mm, the paper's size",
                    "Measure the sheet again.",
                )
        return cls(paper, columns, rows, width, height, left, top, across, down)

    @property
    def count(self) -> int:
        """Labels on a sheet."""
        return self.columns * self.rows

    def place(self, n: int) -> tuple[float, float]:
        """Left and top of the n-th label of a sheet, row by row, from 0. [mm]"""
        row, column = divmod(n % self.count, self.columns)
        return self.left + column * (self.width + self.across), self.top + row * (self.height + self.down)


# Grids that label sheets are commonly cut to. Common practice, no source; measure yours.
STOCKS: dict[str, LabelStock] = {
    "A4, 2 x 4, 99.1 x 67.7 mm": LabelStock("a4", 2, 4, 99.1, 67.7, 4.65, 13.1, 2.5),
    "A4, 2 x 7, 99.1 x 38.1 mm": LabelStock("a4", 2, 7, 99.1, 38.1, 4.65, 15.15, 2.5),
    "A4, 3 x 7, 63.5 x 38.1 mm": LabelStock("a4", 3, 7, 63.5, 38.1, 7.25, 15.15, 2.5),
    "A4, 3 x 8, 70 x 37 mm": LabelStock("a4", 3, 8, 70.0, 37.0, 0.0, 0.5),
    "Letter, 2 x 3, 4 x 3 1/3 in": LabelStock("us-letter", 2, 3, 101.6, 84.667, 3.97, 12.7, 4.76),
    "Letter, 2 x 5, 4 x 2 in": LabelStock("us-letter", 2, 5, 101.6, 50.8, 3.97, 12.7, 4.76),
    "Letter, 3 x 10, 2 5/8 x 1 in": LabelStock("us-letter", 3, 10, 66.675, 25.4, 4.76, 12.7, 3.175),
}
