"""Three kilns to begin from, until your own figures stand in their place."""

from __future__ import annotations

__all__ = ["STARTERS", "Start"]

# What is written for it, the range as (low, high) in the same words, and where it comes from.
Start = tuple[str | bool, tuple[str, str] | None, str]

_HOUSE = "a shed kiln described in a woodworking magazine, May 2017 (read)"
_GUESS = "a guess"

STARTERS: dict[str, dict[str, Start]] = {
    "small dehumidifier": {
        "top": ("49 C", ("43 C", "54 C"), "usual cap of such units (from memory)"),
        "water_per_day": ("20 kg", ("8 kg", "40 kg"), _GUESS),
        "heat": ("1300 W", ("500 W", "3000 W"), _HOUSE),
        "fans": ("530 W", ("200 W", "800 W"), _HOUSE),
        "spray": (False, None, "seldom fitted, common practice, no source"),
        "controls": ("humidity", None, "its humidistat"),
        "driest": ("25 %", ("20 %", "40 %"), _GUESS),
        "length": ("4.3 m", ("3 m", "5 m"), _GUESS),
        "width": ("1.2 m", ("1 m", "1.5 m"), _GUESS),
        "height": ("1.2 m", ("1 m", "1.8 m"), _GUESS),
        "energy_wet": (
            "0.6 kWh per kg",
            ("0.25 kWh per kg", "1 kWh per kg"),
            "Perera and Rahman 1997, heat-pump dryers (from memory)",
        ),
        "energy_dry": (
            "2 kWh per kg",
            ("0.8 kWh per kg", "4 kWh per kg"),
            "a guess: it rises sharply (read); that shed kiln's 36 kWh a day come to about 4",
        ),
    },
    "solar": {
        "top": ("50 C", ("35 C", "60 C"), _GUESS),
        "water_per_day": ("15 kg", ("4 kg", "30 kg"), _GUESS),
        "heat": ("0 W", None, "the sun"),
        "fans": ("150 W", ("60 W", "400 W"), _GUESS),
        "spray": (False, None, "seldom fitted, common practice, no source"),
        "controls": ("nothing", None, "the weather decides"),
        "driest": ("30 %", ("20 %", "45 %"), _GUESS),
        "length": ("4.3 m", ("3 m", "5 m"), _GUESS),
        "width": ("1.5 m", ("1 m", "2 m"), _GUESS),
        "height": ("1.2 m", ("1 m", "1.8 m"), _GUESS),
        "energy_wet": ("0 kWh per kg", None, "only fans are bought (Wengert and Oliveira, read)"),
        "energy_dry": ("0 kWh per kg", None, "only fans are bought (Wengert and Oliveira, read)"),
    },
    "container": {
        "top": ("71 C", ("60 C", "82 C"), "heat-tolerant units (from memory)"),
        "water_per_day": ("100 kg", ("40 kg", "200 kg"), _GUESS),
        "heat": ("12 kW", ("6 kW", "24 kW"), _GUESS),
        "fans": ("1500 W", ("700 W", "3000 W"), _GUESS),
        "spray": (True, None, _GUESS),
        "controls": ("wet bulb", None, _GUESS),
        "driest": ("20 %", ("15 %", "30 %"), _GUESS),
        "length": ("5.6 m", ("5.4 m", "5.8 m"), "a 20-foot container less doors and baffles, a guess"),
        "width": ("1.6 m", ("1.4 m", "1.9 m"), "room for the air on both sides taken off, a guess"),
        "height": ("1.7 m", ("1.5 m", "2 m"), "room for the fans taken off, a guess"),
        "energy_wet": (
            "1.3 kWh per kg",
            ("0.7 kWh per kg", "1.9 kWh per kg"),
            "2 to 3 times the heat of vaporisation where damp air is vented (S. Millar, read)",
        ),
        "energy_dry": ("1.9 kWh per kg", ("1 kWh per kg", "3 kWh per kg"), _GUESS),
    },
}
