"""What cannot be meant, said to ``worth``, ``cost``, ``price``, ``hold``: refused with field and remedy."""

from __future__ import annotations

from pathlib import Path

import pytest

DEMO = Path(__file__).parents[2] / "demo"
CALL, COSTS, LOG, SALES = (
    str(DEMO / name) for name in ("phone-call.toml", "costs.toml", "hollow-oak.toml", "sales.toml")
)
# Each command with everything it needs; a case changes one option and says what the refusal must name.
COMMANDS = {
    "worth": (
        "worth", "--species", "red oak", "--girth", "2.5 m", "--length", "4 m", "--distance", "9 km",
        "--rate", "9 USD per bf", "--costs", COSTS, "--draws", "100",
    ),
    "hour": ("cost", "hour", "--costs", COSTS),
    "machine": (
        "cost", "machine", "--price", "2400", "--salvage", "480", "--years", "3", "--hours", "600 h",
        "--working", "60 %",
    ),
    "log": ("cost", "log", "--costs", COSTS, "--work", "cutting: 6 h, saw 3 h, 8 l"),
    "slab": ("cost", "slab", "--volume", "0.15 m3", "--spent", "log: 96 USD"),
    "month": ("cost", "month", "--volume", "0.15 m3", "--worth", "480 USD"),
    "share": ("cost", "share", "--joint", "600 USD", "--piece", "a: 30 bf, green 150"),
    "load": ("cost", "load", "--cost", "180 USD", "--slab", "a: 0.15 m3, 21 days"),
    "overhead": ("cost", "overhead", "--amount", "90 USD", "--by", "hours", "--bearer", "a: 22 h"),
    "split": ("cost", "split", "--total", "100.00", "--parts", "1,1,1"),
    "ask": (
        "price", "ask", SALES, "--species", "red oak", "--thickness", "80 mm", "--width", "62 cm",
        "--length", "3.1 m",
    ),
    "taped": (
        "price", "ask", SALES, "--species", "red oak", "--thickness", "80 mm", "--length", "3.1 m",
        "--widths", "66 cm",
    ),
    "build": ("price", "build", "--volume", "40 bf", "--base", "7 USD", "--factor", "1.3"),
    "markup": ("price", "markup", "--cost", "400 USD", "--share", "40 %"),
    "thick": (
        "price", "thickness", "12/4", "--days", "26 months", "--thin-days", "5 months", "--rent", "0.35 USD",
        "--worth", "4",
    ),
    "price": ("hold", "price", "--buyers", "2 per month", "--pays", "400 USD", "--holding", "6"),
    "deadline": (
        "hold", "deadline", "--buyers", "2 per month", "--pays", "400 USD", "--holding", "20", "--months",
        "1 year",
    ),
    "lot": (
        "hold", "lot", "--buyers", "2 per month", "--pays", "400 USD", "--holding", "6", "--share", "30 %",
        "--premium", "15 %",
    ),
    "green": (
        "hold", "green", "--buyers", "2 per month", "--pays", "250 USD", "--dry-pays", "400", "--holding",
        "6", "--months", "14 months",
    ),
    "offer": ("hold", "offer", "--buyers", "2 per month", "--pays", "400 USD", "--holding", "6"),
    "learn": ("hold", "learn", SALES, "--reference", "900 USD", "--holding", "6"),
}  # fmt: skip
WRONG = """
worth    --species       ""                   call.species
worth    --species       nothing tree         call.species
worth    --girth         ""                   call.girth
worth    --girth         NaN m                call.girth
worth    --girth         -2 m                 call.girth
worth    --girth         0 m                  from 20 cm to 16 m
worth    --girth         1e9 m                call.girth
worth    --girth         2.8 m to 2.4 m       Swap the two
worth    --length        inf m                call.length
worth    --length        400 m                from 50 cm to 30 m
worth    --distance      ""                   Write "35 km"
worth    --distance      9                    call.distance
worth    --rate          nan USD per bf       rates.rate
worth    --rate          0 USD per bf         more than 0 for a thickness
worth    --rate          9 EUR per bf         costs.saw
worth    --asked         100 EUR              call.asked
worth    --asked         1e30 USD             call.asked
worth    --lumber        3 EUR per bf         call.lumber
worth    --load          0 kg                 call.load
worth    --people        0                    call.people
worth    --people        two                  --people
worth    --quality       superb               call.quality
worth    --drying        9999 years           from 0 to 20 years
worth    --taper         5                    call.taper
worth    --thickness     5 m green            aims.thickness
worth    --saw           nan USD              costs.saw
worth    --sure          nan %                --sure
worth    --draws         1                    --draws
worth    --dries-at      ""                   call.dries_at
worth    --dries-at      Atlantis             call.dries_at
worth    --stacked       2026-02-31           call.stacked
worth    --dry-to        120 %                call.dry_to
worth    --warmest       22 C                 call.coldest
worth    --tornado       /dev/null/x          --tornado
worth    --sheet         /dev/null/x          --sheet
hour     --saw           ""                   costs.saw
hour     --saw           -5                   costs.saw
hour     --wage          nan per day          costs.wage
machine  --price         nan                  --price
machine  --years         0                    --years
machine  --years         inf                  --years
machine  --years         1e308                --years
machine  --hours         0 h                  scheduled hours
machine  --working       120 %                utilisation
machine  --litres        inf                  --litres
machine  --litres        -1                   --litres
machine  --fuel          ""                   --fuel
log      --work          cutting: nan h       --work cutting
log      --work          cutting: 0 people, 6 h  cutting people
log      --spent         crane: 5 EUR         --spent crane
slab     --volume        0 m3                 --volume
slab     --volume        nan m3               --volume
slab     --loss          300 %                --loss
slab     --still         flat: 3 EUR          --still flat
slab     --space         6 EUR per m3 and month  --space
slab     --months        ""                   --months
month    --space         6 EUR per m3 and month  --space
month    --worth         -1                   --worth
share    --joint         nan                  --joint
share    --piece         a: 0 bf              --piece
share    --piece         a: 3 bf, green 4 EUR  --piece a green
share    --by-products   5 EUR                --by-products
share    --by-products   900 USD              at most the joint cost
load     --slab          a: 0 m3, 0 days      slabs of the load
overhead --bearer        a: 0 h               hours
split    --parts         nan,1                --parts
split    --parts         inf                  --parts
split    --parts         1e400                --parts
split    --total         1e50                 --total
ask      --species       granite              piece.species
ask      --species       white ash            like sales
ask      --thickness     80                   piece.thickness
ask      --width         -3 cm                piece.width
ask      --width         60 m                 piece.width
ask      --length        nan                  piece.length
ask      --volume        0 bf                 piece.volume
ask      --dried         damp                 --dried
ask      --figure        120 %                piece.figure
ask      --rate          4 EUR per bf         --rate
ask      --floor         nan                  --floor
ask      --room          9999 %               room
ask      --edged         0 %                  --edged
ask      --edged         101 %                --edged
ask      --edged         ""                   --edged
ask      --lumber        nan per bf           --lumber
ask      --days          26 months            --thin-days
taped    --widths        ""                   --widths
taped    --widths        0 cm                 --widths
taped    --widths        9 m: 66 cm           within the 3.1 m
taped    --widths        1 cm / 2 cm / 3 cm   two faces at most
taped    --width         60 cm                --width
taped    --edged         60 %                 --edged
taped    --length        x                    piece.length
build    --volume        0 bf                 --volume
build    --base          nan                  --base
build    --factor        inf                  --factor
markup   --share         100 %                margin
thick    --days          0 days               --days
thick    --worth         0                    worth
thick    --fill          0 %                  fill
price    --buyers        0 per month          --buyers
price    --buyers        nan per month        --buyers
price    --buyers        1e400 per month      --buyers
price    --pays          0                    pay
price    --holding       6 EUR                --holding
price    --spread        nan                  spread
price    --spread        1000                 spread
price    --interest      -5 %                 --interest
price    --loss          200 %                loss
price    --asked         0                    --asked
price    --within        2001-01-01           --within
price    --chance        100 %                chance
price    --chance        ""                   --chance
price    --today         never                --today
deadline --count         0                    count
deadline --months        0 months             step
deadline --every         0 days               step
deadline --salvage       nan                  --salvage
lot      --count         1                    --count
lot      --share         120 %                --share
lot      --premium       -100 %               premium
green    --lost          100 %                lost
green    --dry-pays      400 EUR              --pays
offer    --months        0 months             --months
offer    --salvage       5                    --salvage
offer    --offer         9 EUR                --offer
learn    --reference     0                    --reference
learn    --reference     900 EUR              --reference
learn    --asked         0                    --asked
"""


def cases() -> list[tuple[str, str, str, str]]:
    found = []
    for line in WRONG.strip().splitlines():
        command, option, rest = line.split(None, 2)
        said, told = rest.rsplit("  ", 1)
        found.append((command, option, said.strip().replace('""', ""), told.strip()))
    return found


@pytest.mark.parametrize(("command", "option", "said", "told"), cases())
def test_one_option_that_cannot_be_meant_is_refused(pithline, command, option, said, told):
    words = list(COMMANDS[command])
    if option in words:
        words[words.index(option) + 1] = said
    else:
        words += [option, said]
    answer = pithline(*words)
    assert answer.code == 2, answer.err
    assert told in answer.err
    assert answer.out == ""


@pytest.mark.parametrize("command", COMMANDS)
def test_the_commands_themselves_are_sound(pithline, command):
    assert pithline(*COMMANDS[command]).code == 0


@pytest.mark.parametrize(
    ("changed", "told"),
    [
        ({"girth = ": "girth = 2.5 #"}, "call.girth is 2.5"),
        ({"[call]": "[calls]"}, "calls is"),
        ({"[call]": "call = 3\n[other]"}, "one of log"),
        ({"[call]": '[call]\nlogs = ["0 bf planned, 3 bf tallied"]'}, "call.logs[1]"),
        ({"[call]": "[call]\nblanks = -3"}, "call.blanks"),
        ({"[call]": '[call]\nfirewood_share = "nan %"'}, "call.firewood_share"),
        ({"[call]": '[call]\nhandling = "3 min to 900 h"'}, "from 0 to 24 h"),
        ({"[costs]": '[costs]\ninterest = "900 %"'}, "costs.interest"),
        ({"[costs]": '[costs]\nworking = "0 %"'}, "costs.working"),
        ({"[costs]": '[months]\ntemperature = ["2 C"]\nhumidity = ["50 %"]\n[costs]'}, "call.dries_at"),
        ({'bar = "42 in"': 'bar = "0 in"'}, "mill.bar"),
    ],
)
def test_a_file_that_cannot_be_meant_is_refused(pithline, tmp_path, changed, told):
    text = Path(CALL).read_text(encoding="utf-8")
    for old, new in changed.items():
        assert old in text
        text = text.replace(old, new, 1)
    (tmp_path / "call.toml").write_text(text, encoding="utf-8")
    answer = pithline("worth", tmp_path / "call.toml", "--draws", "100")
    assert answer.code == 2, answer.err
    assert told in answer.err
    assert answer.out == ""
