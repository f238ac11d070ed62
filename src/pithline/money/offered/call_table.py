"""The table [call] declared: a log on offer as said on the phone, or seen; and why its defaults."""

from __future__ import annotations

from pithline import units
from pithline.fields import Field, Quantity, Table
from pithline.money.amount import amount
from pithline.money.likely import Likely
from pithline.money.months import months
from pithline.money.offered.call_figures import hours, kilometres, pace, plan_and_tally, span, volume_price

__all__ = ["CALL", "QUALITIES", "WHY"]

_C = Quantity.TEMPERATURE
_L, _S, _T, _D, _F = Quantity.LENGTH, Quantity.SHARE, Quantity.TEXT, Quantity.DURATION, Quantity.FLAG
_PHONE = "told by phone: a guess"

QUALITIES = {
    "sound": Likely(0.85, 1.0, 1.1, 0.0, 3.0, "straight, no rot seen: 85 to 110 % of your rates, a guess"),
    "ordinary": Likely(0.60, 0.85, 1.0, 0.0, 3.0, "some limbs and bend: 60 to 100 % of your rates, a guess"),
    "rough": Likely(0.35, 0.60, 0.85, 0.0, 3.0, "limbs, bend, old wounds: 35 to 85 % of your rates, a guess"),
    "doubtful": Likely(0.05, 0.40, 0.75, 0.0, 3.0, "rot or metal likely: 5 to 75 % of your rates, a guess"),
}
"""What a log's slabs bring against the user's rates, which are for good ones."""

CALL = Table(
    "call",
    "A log on offer: what was said on the phone, or seen. A span, as 2.4 m to 2.8 m, is your 10 and 90 %.",
    (
        Field("species", _T, "Any name of the wood."),
        Field(
            "girth",
            _T,
            "Tape round the log, over the bark.",
            parse=span(units.length, (0.93, 1.07), 0.2, 16, _PHONE, "from 20 cm to 16 m"),
        ),
        Field("girth_at", _L, "Where that tape lay, from the butt.", default="1.3 m", most="30 m"),
        Field(
            "length",
            _T,
            "Usable, butt to top.",
            parse=span(units.length, (0.93, 1.05), 0.5, 30, _PHONE, "from 50 cm to 30 m"),
        ),
        Field(
            "taper",
            _T,
            "Loss of diameter over length.",
            default="4 mm/m to 16 mm/m",
            parse=span(units.slope, most=0.1, told="from 0 to 100 mm/m"),
        ),
        Field(
            "quality", _T, "As you judge it from what was said.", default="ordinary", choices=tuple(QUALITIES)
        ),
        Field("distance", _T, 'By road, one way: "35 km".', required=True, parse=kilometres),
        Field("carry", _L, "From the log to the vehicle, one way.", default="20 m", most="20000 m"),
        Field(
            "load",
            Quantity.MASS,
            "What goes in one trip, all hands or a cart together.",
            default="60 kg",
            least="5 kg",
        ),
        Field("pace", _T, "Of carrying, there and back.", default="2.5 km/h", parse=pace),
        Field(
            "handling",
            _T,
            "To load and unload one such trip.",
            default="3 min to 8 min",
            parse=span(hours, most=24, told="from 0 to 24 h"),
        ),
        Field("payload", Quantity.MASS, "Of vehicle and trailer together.", default="1000 kg", least="50 kg"),
        Field("people", Quantity.COUNT, "On the day.", default=1, least="1", most="20"),
        Field(
            "set_up",
            _T,
            "Metal search, levelling, rail, first cut.",
            default="1 h to 3 h",
            parse=span(hours, most=100, told="from 0 to 100 h"),
        ),
        Field("asked", _T, "What the owner asks.", default="0", parse=amount),
        Field(
            "logs", _T, 'Your own logs: "480 bf planned, 366 bf tallied".', many=True, parse=plan_and_tally
        ),
        Field(
            "price_level",
            _T,
            "What slabs really bring against your rates.",
            default="80 % to 115 %",
            parse=span(units.share, most=10, told="from 0 % to 1000 %"),
        ),
        Field(
            "downgraded",
            _T,
            "Share of the slabs that drying spoils in part.",
            default="8 % to 40 %",
            parse=span(units.share, most=1, told="from 0 % to 100 %"),
        ),
        Field("downgraded_brings", _S, "What such a slab still brings.", default="50 %", most="100 %"),
        Field(
            "sawing",
            _T,
            "Sawing time against the mill's pace.",
            default="75 % to 150 %",
            parse=span(units.share, least=0.05, most=10, told="from 5 % to 1000 %"),
        ),
        Field(
            "between",
            _T,
            "Time between cuts against the mill's.",
            default="70 % to 180 %",
            parse=span(units.share, most=20, told="from 0 % to 2000 %"),
        ),
        Field(
            "drying",
            _T,
            "Till the slabs are dry, where you know it better than a forecast.",
            parse=span(months, (0.8, 1.3), most=240, told="from 0 to 20 years"),
        ),
        Field("dries_at", _T, "A place whose months are known: then the drying is forecast."),
        Field(
            "warmest",
            _C,
            "Mean of the warmest month there, for a place not known.",
            least="-40 C",
            most="60 C",
        ),
        Field("coldest", _C, "Mean of the coldest month there.", least="-40 C", most="60 C"),
        Field("stacked", Quantity.DATE, "Day of stacking; any season where it is not said."),
        Field(
            "dry_to", _S, "Mean moisture at which they are sold.", default="20 %", least="9 %", most="30 %"
        ),
        Field(
            "selling",
            _T,
            "From dry to sold.",
            default="2 months to 16 months",
            parse=span(months, most=240, told="from 0 to 20 years"),
        ),
        Field(
            "work",
            _T,
            "Hours for stacking, finishing and selling, against your own.",
            default="60 % to 170 %",
            parse=span(units.share, most=20, told="from 0 % to 2000 %"),
        ),
        Field("firewood", _T, "For a solid cubic metre of offcuts.", parse=volume_price),
        Field("firewood_share", _S, "Of the wood that is no slab.", default="70 %", most="100 %"),
        Field("opening", _T, "What the opening slab brings as it is.", default="0", parse=amount),
        Field(
            "blanks", Quantity.COUNT, "Turning blanks from crotch and burl.", default=0, least="0", most="500"
        ),
        Field("blank_price", _T, "Each.", default="0", parse=amount),
        Field("sawdust", _T, "For a solid cubic metre of kerf.", parse=volume_price),
        Field("lumber", _T, 'Square-edged lumber at the market, dry: "3.20 per bf".', parse=volume_price),
        Field("edging", _D, "To edge and rip one slab.", default="25 min"),
        Field("hire", _T, "Crane or winch with driver and truck, to take the log away.", parse=amount),
        Field("lifts", Quantity.MASS, "What they can take at that reach."),
        Field("permission", _F, "The owner has said yes, in writing.", default=False),
        Field("tree_protection", _F, "You asked: the tree may be taken.", default=False),
        Field("plant_movement", _F, "You asked: wood and bark may be moved.", default=False),
    ),
)

_GUESS = "guess"
WHY = {
    "girth_at": "breast height, from memory",
    "taper": "4 to 10 mm a metre on measured stems above the flare; open-grown trees more: a guess",
    "quality": "nothing was said",
    "carry": f"{_GUESS}; ask",
    "load": f"{_GUESS}: two people with slings, or a hand cart; keep to what is safe for your back",
    "pace": f"{_GUESS}; steep or wet ground halves it",
    "handling": _GUESS,
    "payload": f"{_GUESS}; the vehicle's papers say it, and weigh",
    "people": "alone; with someone in earshot is safer",
    "set_up": _GUESS,
    "asked": "nothing was said: the log is free",
    "price_level": _GUESS,
    "downgraded": f"{_GUESS}; 11.3 % of value lost in air-drying 4/4 sugar maple (Peck 1957, read)",
    "downgraded_brings": _GUESS,
    "sawing": _GUESS,
    "between": _GUESS,
    "dry_to": "fit to sell air-dry: Oklahoma State Extension (read); the rest in a heated room",
    "selling": f"{_GUESS}; your own listings say it better",
    "work": _GUESS,
    "firewood_share": _GUESS,
    "edging": _GUESS,
    "permission": "not ticked",
    "tree_protection": "not ticked",
    "plant_movement": "not ticked",
}
"""Of the defaults, by field."""
