"""Sizes, weights and money as a person reads them, for templates."""

from __future__ import annotations

from django import template

from pithline import units

__all__ = ["register"]

register = template.Library()


@register.filter
def wide(metres: float | None, system: str = "metric") -> str:
    """A thickness or width; a dash where it was not measured. (`length` is Django's own.)"""
    return "–" if metres is None else units.show_length(metres, system)  # type: ignore[arg-type]


@register.filter
def long(metres: float | None, system: str = "metric") -> str:
    """A length along the log."""
    return "–" if metres is None else units.show_length(metres, system, "long")  # type: ignore[arg-type]


@register.filter
def mass(kilograms: float | None, system: str = "metric") -> str:
    """A weight to be lifted: never shown less than it is."""
    return "–" if kilograms is None else units.show_mass(kilograms, system, up=True)  # type: ignore[arg-type]


@register.filter
def share(fraction: float | None) -> str:
    """Part of a whole in percent, without needless digits."""
    return "–" if fraction is None else f"{fraction * 100:.3g} %"


@register.filter
def field_words(path: str) -> str:
    """Where something stands in a record, as words: ``log.butt.bark`` is "butt, bark"."""
    from pithline.sheets import wording

    return wording.field_words(path)


@register.filter
def money(minor: int | None, code: str = "") -> str:
    """An amount in the book's currency, which the page looks up once."""
    from pithline.yard.money import shown

    return shown(minor, code)


@register.filter
def absent(problem: object) -> str:
    """What a view says is not there; an address that no view has says nothing to a person."""
    text = str(problem)
    return text if text.endswith(".") and len(text) < 300 else "There is no such page."
