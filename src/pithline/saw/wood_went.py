"""Where the wood went, and what the losses are worth."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["Ledger", "LedgerLine", "Worth"]


@dataclass(frozen=True, slots=True)
class LedgerLine:
    """One place where wood went. `volume` under bark [m3]."""

    name: str
    volume: float
    note: str = ""


@dataclass(frozen=True, slots=True)
class Worth:
    """What one loss is worth in money (or tally units), and what would win it back."""

    name: str
    value: float
    note: str


@dataclass(frozen=True, slots=True)
class Ledger:
    """Where the wood went: lines add up to `log` exactly."""

    log: float  # under bark [m3]
    lines: tuple[LedgerLine, ...]
    worths: tuple[Worth, ...] = ()
