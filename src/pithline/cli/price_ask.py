"""``pithline price ask``: a suggested price for one piece, its range and its reasons."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

if TYPE_CHECKING:
    from pithline.money.hold.listing_range import Outlook
    from pithline.money.price.asking import Asking
    from pithline.money.price.piece import Piece
    from pithline.money.price.plain import Plain
    from pithline.money.price.written import SalesBook
    from pithline.slab.outline import SlabOutline
    from pithline.units import System

__all__ = ["ask"]

_PIECE = (
    click.option("--species", required=True, metavar="NAME", help="Any name of the wood."),
    click.option("--thickness", required=True, metavar="LENGTH", help='As sold: 12/4, "80 mm".'),
    click.option("--width", metavar="LENGTH", help="Mean width that is tallied; or say --widths."),
    click.option("--length", required=True, metavar="LENGTH", help="Usable length."),
    click.option(
        "--widths",
        multiple=True,
        metavar="WIDTH",
        help='Of both faces, butt to top: "58 cm / 61 cm", "1.5 m: 60 cm". Repeat: then it is ripped.',
    ),
    click.option("--volume", metavar="VOLUME", help="Tallied. [default: thickness x width x length]"),
    click.option(
        "--dried",
        type=click.Choice(["green", "air dried", "kiln dried"]),
        default="green",
        show_default=True,
        help="How far.",
    ),
    click.option("--flattened", is_flag=True, help="Flattened."),
    click.option("--pair", is_flag=True, help="One of a book-matched pair."),
    click.option("--square-edged", is_flag=True, help="Without live edges."),
    click.option("--flawed", is_flag=True, help="With checks, punky sapwood or stain."),
    click.option("--figure", default="0 %", show_default=True, metavar="SHARE", help="Of the face."),
    click.option("--use", metavar="WORD", help='What it is for: "table".'),
)


def _piece_options(command: Any) -> Any:
    for option in reversed(_PIECE):
        command = option(command)
    return command


@click.command(
    "ask",
    epilog="""
\b
Examples:
  pithline price ask demo/sales.toml --species "red oak" --thickness "80 mm" --width "62 cm" \\
    --length "3.1 m" --dried "kiln dried" --flattened --use table --floor 480
  pithline price ask demo/sales.toml --species "red oak" --thickness 8/4 --width "20 in" --length "8 ft" \\
    --units inch --json
  pithline price ask demo/sales.toml --species "red oak" --thickness "80 mm" --length "3.1 m" \\
    --dried "kiln dried" --widths "66 cm / 70 cm" --widths "60 cm / 63 cm" --widths "54 cm / 58 cm"
  pithline price ask demo/sales.toml --species "red oak" --thickness "80 mm" --width "62 cm" \\
    --length "3.1 m" --dried "kiln dried" --holding 6 --interest "8 %" --sheet price.pdf
""",
)
@click.argument("file", type=click.Path(path_type=Path, allow_dash=True))
@_piece_options
@click.option(
    "--rate",
    metavar="RATE",
    help='Yours for a plain green 1 in board: "4 per bf"; used where no like piece sold.',
)
@click.option("--floor", metavar="MONEY", help="Never ask less (pithline cost).")
@click.option("--room", default="5 %", show_default=True, metavar="SHARE", help="To be beaten down; a guess.")
@click.option(
    "--edged",
    metavar="SHARE",
    help="Of the tally left as plain boards.  [default: by --widths; else 55 to 80 %, a guess]",
)
@click.option("--lumber", metavar="RATE", help='Of plain boards: "5.50 per bf". [default: as FILE says]')
@click.option("--holding", metavar="MONEY", help="A month; then FILE's listings say which price brings most.")
@click.option("--interest", metavar="SHARE", help="A year, likewise.")
@click.option("--days", metavar="TIME", help="It takes to dry: argues the thickness by drying.")
@click.option("--thin-days", metavar="TIME", help="1 in stock takes.")
@click.option("--dries-at", metavar="PLACE", help="Instead of both: forecast for a place that is known.")
@click.option("--rent", metavar="MONEY", help="Of a cubic metre of kiln or stack, a day.")
@click.option(
    "--sheet", type=click.Path(path_type=Path), metavar="FILE", help="Write the seller's sheet (PDF)."
)
@click.option("--paper", type=click.Choice(["a4", "us-letter"]), default="a4", show_default=True)
@click.option("--units", "system", type=click.Choice(["metric", "inch"]), default="metric", show_default=True)
@click.option("--json", "as_json", is_flag=True, help="Print JSON (schema pithline/price-ask/1).")
def ask(
    file: Path,
    rate: str | None,
    floor: str | None,
    room: str,
    edged: str | None,
    widths: tuple[str, ...],
    lumber: str | None,
    holding: str | None,
    interest: str | None,
    days: str | None,
    thin_days: str | None,
    dries_at: str | None,
    rent: str | None,
    sheet: Path | None,
    paper: str,
    system: System,
    as_json: bool,
    **said: Any,
) -> None:
    """What may be asked for one piece, by what is known of prices in FILE."""
    from pithline import units
    from pithline.cli.hold_options import Money
    from pithline.cli.log_input import read_document
    from pithline.cli.price_argued import argued_factor, forecast_days
    from pithline.cli.price_shown import Shown, print_json, print_words
    from pithline.errors import BadValue
    from pithline.money.price.asking import asking
    from pithline.money.price.like_sales import by_use
    from pithline.money.price.written import read_sales
    from pithline.units import BOARD_FOOT

    book = read_sales(read_document(file))
    piece, outline = _piece(said, widths)
    money = Money(book.currency)
    share = units.share(edged, "--edged") if edged is not None else None
    if share is not None and not 0 < share <= 1:
        raise BadValue("--edged", edged, "above 0 % and at most 100 %", "Leave it out for a guess.")
    if share is not None and outline is not None:
        raise BadValue("--edged", edged, "left out beside --widths", "They tell which boards it holds.")
    found = asking(
        piece,
        book.sales,
        _rate(rate, "--rate", book.currency) if rate else None,
        money.read(floor, "--floor"),
        units.share(room, "--room"),
    )
    plain, whence = None, "--lumber"
    if lumber:
        plain = _plain(piece, outline, _rate(lumber, "--lumber", book.currency), share)
    elif (row := book.lumber_rate(piece)) is not None:
        plain, whence = _plain(piece, outline, row.rate * BOARD_FOOT, share), row.whence(piece)
    held = _held(found, book, holding, interest, money) if book.listings and (holding or interest) else None
    uses = [each for each in by_use(book.sales) if each.use == piece.use]
    spans = (days, thin_days, rent)
    argued = None
    if dries_at is not None:
        spans = (*forecast_days(piece, dries_at, spans), rent)
    if any(each is not None for each in spans):
        argued = argued_factor(piece, found, spans, interest, money)
    shown = Shown(book.currency, piece, found, plain, whence, held, uses, argued)
    if sheet is not None:
        from pithline.cli.price_paper import write_paper

        write_paper(sheet, shown, outline, floor, paper, system)
    if as_json:
        print_json(shown)
    else:
        print_words(shown, system)


def _piece(said: dict[str, Any], widths: tuple[str, ...]) -> tuple[Piece, SlabOutline | None]:
    """The piece, through the same declaration as a row of the file; and its outline, where it was taped."""
    from pithline.errors import BadValue
    from pithline.fields import Table, read
    from pithline.money.price.sales_table import PIECE
    from pithline.money.price.written import piece_of
    from pithline.slab.tally import TallyRule
    from pithline.slab.tallying import face_area, tally_width
    from pithline.slab.taped import taped_outline, width
    from pithline.units import length

    raw = {name: value for name, value in said.items() if value is not None and name != "square_edged"}
    raw["live"] = not said["square_edged"]
    table = Table("piece", "The piece to price.", PIECE)
    if not widths:
        if "width" not in raw:
            remedy = 'Say --width "62 cm", or --widths at several places.'
            raise BadValue("--width", "missing", "given, or --widths", remedy)
        return piece_of(read(table, raw)), None
    if "width" in raw:
        raise BadValue("--width", raw["width"], "left out beside --widths", "They tell the mean, too.")
    # Read once with any of the widths, so that thickness and length are known to be possible.
    faces = [width(each, "--widths") for each in widths]
    read(table, raw | {"width": f"{faces[0].one * 1000:.3f} mm"})
    long, thick = length(raw["length"], "--length"), length(raw["thickness"], "--thickness")
    outline = taped_outline(long, thick, faces)
    mean = face_area(outline.z, tally_width(outline, TallyRule.MEAN), 0.0, long) / long
    return piece_of(read(table, raw | {"width": f"{mean * 1000:.3f} mm"})), outline


def _plain(piece: Piece, outline: SlabOutline | None, rate: float, share: float | None) -> Plain:
    from pithline.money.price.plain import by_share, ripped

    return by_share(piece, rate, share) if outline is None else ripped(piece, outline, rate)


def _rate(raw: str, option: str, currency: str) -> float:
    """Money per board foot."""
    from pithline.errors import BadValue
    from pithline.saw.written.price import price
    from pithline.units import BOARD_FOOT

    its = price(raw, option, ("m3", "bf", "ft3"), 'Write "5.50 per bf".')
    if its.currency and its.currency != currency:
        raise BadValue(option, raw, f"in {currency}, the currency of the file")
    return its.amount * BOARD_FOOT


def _held(found: Asking, book: SalesBook, holding: str | None, interest: str | None, money: Any) -> Outlook:
    from pithline import units
    from pithline.cli.hold_learn import best_law
    from pithline.money.hold.listing import spells
    from pithline.money.hold.listing_range import outlook
    from pithline.money.hold.posted import Terms, discount_of

    yearly = units.share(interest, "--interest") if interest else 0.0
    terms = Terms.of(0.0, money.read(holding, "--holding"), discount_of(yearly))
    learned, _ = best_law(spells(book.listings))
    return outlook(learned, found.brings[1], terms, 12.0)
