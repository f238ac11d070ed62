"""Kinds of measure: the units each may carry and how a person may write it."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from fractions import Fraction

from pithline.errors import BadValue

__all__ = [
    "ANGLE", "AREA", "DENSITY", "DURATION", "LENGTH", "MASS", "PACE", "SHARE", "SLOPE", "TEMPERATURE",
    "VOLUME", "Quantity", "read",
]  # fmt: skip

_NUMBER = r"\d+[ -]+\d+\s*/\s*\d+|\d+\s*/\s*\d+|\d+\.\d*|\.\d+|\d+"
_ONLY_NUMBER = re.compile(_NUMBER)
_LONGEST = 60  # characters; no measure needs more
# Dashes, primes, curly quotes, vulgar fractions and fixed spaces, as phones and copied pages write them.
_SIGNS = str.maketrans({
    "\u2212": "-", "\u2013": "-", "\u2032": "'", "\u2018": "'", "\u2019": "'", "\u2033": '"', "\u201c": '"',
    "\u201d": '"', "\u00b2": "2", "\u00b3": "3", "\u00a0": " ", "\u202f": " ", "½": " 1/2", "¼": " 1/4",
    "¾": " 3/4", "⅛": " 1/8", "⅜": " 3/8", "⅝": " 5/8", "⅞": " 7/8",
})  # fmt: skip


# Exact by definition: international inch, foot and pound of 1959 (NIST SP 811, 2008, appendix B.8).
# Exact fractions up to the last step: 3 in becomes 0.0762, not 0.07619999999999999.
_INCH = Fraction("0.0254")  # [m]
_FOOT = 12 * _INCH
_POUND = Fraction("0.45359237")  # [kg]
_DEGREE = Fraction(math.radians(1))


@dataclass(frozen=True, slots=True)
class Quantity:
    """One kind of measure: its name in messages, its units, how to write it."""

    name: str
    units: tuple[tuple[Fraction, str, tuple[str, ...]], ...]  # factor to SI, name to show, all spellings
    example: str
    chains: tuple[tuple[str, ...], ...] = ()  # units that may follow one another: 8' 6"

    def spelled(self) -> dict[str, tuple[Fraction, str]]:
        """Factor and shown name by every spelling."""
        return {word: (factor, name) for factor, name, words in self.units for word in words}

    def may_follow(self, before: str, after: str) -> bool:
        """Whether `after` may stand behind `before`, as inches do behind feet."""
        return any(before in chain and after in chain[chain.index(before) + 1 :] for chain in self.chains)


LENGTH = Quantity(
    "a length",
    (
        (Fraction(1, 1000), "mm", ("mm", "millimetre", "millimetres", "millimeter", "millimeters")),
        (Fraction(1, 100), "cm", ("cm", "centimetre", "centimetres", "centimeter", "centimeters")),
        (Fraction(1), "m", ("m", "metre", "metres", "meter", "meters")),
        (_INCH, "in", ("in", "in.", "inch", "inches", '"', "''")),
        (_FOOT, "ft", ("ft", "ft.", "foot", "feet", "'")),
    ),
    '"80 mm", "2.4 m", \'3 1/8"\', "8 ft" or \'8 ft 6 in\'',
    (("ft", "in"), ("m", "cm", "mm")),
)
MASS = Quantity(
    "a mass",
    (
        (Fraction(1), "kg", ("kg", "kilo", "kilos", "kilogram", "kilograms")),
        (Fraction(1, 1000), "g", ("g", "gram", "grams")),
        (Fraction(1000), "t", ("t", "tonne", "tonnes")),
        (_POUND, "lb", ("lb", "lbs", "lb.", "pound", "pounds")),
        (_POUND / 16, "oz", ("oz", "ounce", "ounces")),
    ),
    '"32 kg", "1.2 t" or "71 lb"',
    (("lb", "oz"), ("t", "kg", "g")),
)
ANGLE = Quantity(
    "an angle",
    ((_DEGREE, "deg", ("deg", "degree", "degrees", "°")), (Fraction(1), "rad", ("rad", "radians"))),
    '"30 deg" or "30°"',
)
SLOPE = Quantity(
    "a slope",
    (
        (Fraction(1, 1000), "mm/m", ("mm/m", "mm per m")),
        (Fraction(1, 100), "cm/m", ("cm/m", "cm per m")),
        (Fraction(1, 12), "in/ft", ("in/ft", "in per ft", '"/ft', "in per foot")),
        (Fraction(1, 100), "%", ("%", "percent", "per cent")),
        (_DEGREE, "deg", ("deg", "degree", "degrees", "°")),
    ),
    '"12 mm/m", "3 %", "1/4 in/ft" or "2 deg"',
)
SHARE = Quantity("a share", ((Fraction(1, 100), "%", ("%", "percent", "per cent")),), '"8 %"')
TEMPERATURE = Quantity(
    "a temperature",
    (
        (Fraction(1), "C", ("c", "°c", "deg c")),
        (Fraction(1), "F", ("f", "°f", "deg f")),
        (Fraction(1), "K", ("k",)),
    ),
    '"21 C" or "70 F"',
)
AREA = Quantity(
    "an area",
    (
        (Fraction(1), "m2", ("m2", "sq m")),
        (Fraction(1, 10000), "cm2", ("cm2", "sq cm")),
        (_FOOT**2, "ft2", ("ft2", "sq ft")),
        (_INCH**2, "in2", ("in2", "sq in")),
    ),
    '"1.8 m2" or "20 ft2"',
)
VOLUME = Quantity(
    "a volume",
    (
        (Fraction(1), "m3", ("m3", "cubic metres", "cubic meters")),
        (Fraction(1, 1000), "l", ("l", "litre", "litres", "liter", "liters")),
        (_FOOT**3, "ft3", ("ft3", "cu ft", "cubic feet")),
        (144 * _INCH**3, "bf", ("bf", "bd ft", "board foot", "board feet")),
    ),
    '"0.15 m3", "60 bf" or "5 ft3"',
)
DENSITY = Quantity(
    "a density",
    ((Fraction(1), "kg/m3", ("kg/m3",)), (_POUND / _FOOT**3, "lb/ft3", ("lb/ft3",))),
    '"980 kg/m3" or "61 lb/ft3"',
)
DURATION = Quantity(
    "a duration",
    (
        (Fraction(1), "min", ("min", "mins", "minute", "minutes")),
        (Fraction(60), "h", ("h", "hr", "hrs", "hour", "hours")),
        (Fraction(1, 60), "s", ("s", "sec", "second", "seconds")),
    ),
    '"45 min" or "1 h 30 min"',
    (("h", "min", "s"),),
)
PACE = Quantity(
    "a sawing pace",
    ((Fraction(1), "min/m2", ("min/m2",)), (1 / _FOOT**2, "min/ft2", ("min/ft2",))),
    '"5 min/m2" or "0.5 min/ft2"',
)


def read(quantity: Quantity, text: object, field: str, signed: bool) -> tuple[float, str]:
    """Value in SI, and the name of the first unit written.

    Raises
    ------
    BadValue
        No unit, an unknown unit, not finite, or negative where `signed` is false.
    """
    write = f"Write {quantity.example}."
    rule = f"{quantity.name} with its unit"
    alone = f"A number alone could be any unit. {write}"
    if isinstance(text, bool) or not isinstance(text, str | int | float):
        raise BadValue(field, text, rule, write)
    if not isinstance(text, str):
        raise BadValue(field, text, rule if math.isfinite(text) else f"{rule}, and finite", alone)
    if len(text) > _LONGEST:
        raise BadValue(field, text[:_LONGEST] + "...", rule, write)
    plain = " ".join(text.translate(_SIGNS).lower().split())
    sign, body = (plain[0], plain[1:].lstrip()) if plain[:1] in ("+", "-") else ("+", plain)
    if re.search(r"\d,\d", body):
        raise BadValue(field, text, rule, f"Use a point for decimals and no mark between thousands. {write}")
    if _ONLY_NUMBER.fullmatch(body):
        raise BadValue(field, text, rule, alone)
    total, names = _add_up(quantity, body)
    if not names:
        known = ", ".join(name for _, name, _ in quantity.units)
        raise BadValue(field, text, f"{rule} ({known})", write)
    if sign == "-" and not signed and total:
        raise BadValue(field, text, "zero or more", "Leave out the minus sign or check the reading.")
    return float(-total if sign == "-" else total), names[0]


def _add_up(quantity: Quantity, body: str) -> tuple[Fraction, list[str]]:
    """Sum of ``8 ft 6 in``; no names when any of it cannot be read."""
    spelled = quantity.spelled()
    words = "|".join(re.escape(word) for word in sorted(spelled, key=len, reverse=True))
    piece = re.compile(rf"({_NUMBER})\s*({words})(?![a-z/])\s*")
    total, scale, names, at = Fraction(0), Fraction(0), list[str](), 0
    while at < len(body):
        if found := piece.match(body, at):
            (factor, name), number, at = spelled[found[2]], _number(found[1]), found.end()
        elif names == ["ft"] and _ONLY_NUMBER.fullmatch(body, at):  # 8'6
            factor, name, number, at = _INCH, "in", _number(body[at:]), len(body)
        else:
            return total, []
        if number is None:
            return total, []
        # 8' 14" is a slip of the pen, not 9' 2".
        if names and not (number * factor < scale and quantity.may_follow(names[-1], name)):
            return total, []
        total, scale = total + number * factor, factor
        names.append(name)
    return total, names


def _number(text: str) -> Fraction | None:
    """``3``, ``3.5``, ``1/8``, ``3 1/8`` or ``3-1/8``; None for a fraction over nothing."""
    total = Fraction(0)
    for part in re.sub(r"\s*/\s*", "/", text).replace("-", " ").split():
        over, _, under = part.partition("/")
        if under and not int(under):
            return None
        total += Fraction(int(over), int(under)) if under else Fraction(part)
    return total
