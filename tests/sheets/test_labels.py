"""Labels are read back from the PDF by another program's eye: rendered, cut out, decoded."""

import io

import cv2
import pypdf
import pypdfium2
import pytest

from pithline.errors import BadValue
from pithline.sheets.label_stock import PAPERS, STOCKS, LabelStock
from pithline.sheets.labels import Label, label_sheets

DPI = 200  # what a plain scanner gives
BASE = "http://192.168.178.20:8467"


def some(count: int) -> list[Label]:
    return [
        Label(f"14-{n}", ("northern red oak", "2.40 m × 52 cm × 80 mm green"), f"{BASE}/rack/id/{n:032x}/")
        for n in range(1, count + 1)
    ]


def codes(pdf: bytes, stock: LabelStock, page: int = 0) -> list[str]:
    """What the code on each label of a page says; "" where there is none."""
    picture = pypdfium2.PdfDocument(pdf)[page].render(scale=DPI / 72).to_numpy()
    grey, dots = cv2.cvtColor(picture, cv2.COLOR_BGR2GRAY), DPI / 25.4
    read = []
    for n in range(stock.count):
        x, y = stock.place(n)
        label = grey[
            int(y * dots) : int((y + stock.height) * dots), int(x * dots) : int((x + stock.width) * dots)
        ]
        # Two finders of the corner marks: either may miss one that the other sees.
        tries = (
            finder().detectAndDecode(label)[0] for finder in (cv2.QRCodeDetector, cv2.QRCodeDetectorAruco)
        )
        read.append(next((text for text in tries if text), ""))
    return read


@pytest.mark.parametrize("name", STOCKS)
def test_every_code_leads_back_to_its_slab(name):
    stock = STOCKS[name]
    labels = some(stock.count)
    assert codes(label_sheets(labels, stock), stock) == [label.address for label in labels]


def test_a_part_used_sheet_is_not_printed_over():
    stock = STOCKS["A4, 3 x 7, 63.5 x 38.1 mm"]
    labels = some(5)
    pdf = label_sheets(labels, stock, first=19)
    assert codes(pdf, stock) == [""] * 18 + [label.address for label in labels[:3]]
    assert codes(pdf, stock, 1)[:3] == [labels[3].address, labels[4].address, ""]


def test_number_and_words_stand_on_the_label():
    pdf = label_sheets(some(2), STOCKS["Letter, 2 x 5, 4 x 2 in"])
    reader = pypdf.PdfReader(io.BytesIO(pdf))
    text = reader.pages[0].extract_text()
    assert "14-2" in text
    assert "northern red oak" in text
    wide, tall = PAPERS["us-letter"]
    box = reader.pages[0].mediabox
    assert (float(box.width) * 25.4 / 72, float(box.height) * 25.4 / 72) == pytest.approx(
        (wide, tall), abs=0.1
    )


@pytest.mark.parametrize("name", STOCKS)
def test_every_grid_fits_its_paper(name):
    s = STOCKS[name]
    assert LabelStock.of(s.paper, s.columns, s.rows, s.width, s.height, s.left, s.top, s.across, s.down) == s
    wide, tall = PAPERS[s.paper]
    # Sheets are cut from the middle outwards: both margins are equal within 1 mm.
    assert wide - s.left - s.columns * s.width - (s.columns - 1) * s.across == pytest.approx(s.left, abs=1)
    assert tall - s.top - s.rows * s.height - (s.rows - 1) * s.down == pytest.approx(s.top, abs=1)


@pytest.mark.parametrize(
    ("sizes", "reason"),
    [
        (("a4", 4, 8, 70.0, 37.0, 0.0, 0.5), "at most 210 mm"),
        (("a4", 3, 8, 70.0, 12.0, 0.0, 0.5), "at least 20 mm"),
        (("a4", 0, 8, 70.0, 37.0, 0.0, 0.5), "from 1 to 40"),
        (("a4", 3, 8, float("nan"), 37.0, 0.0, 0.5), "at least 40 mm"),
        (("foolscap", 3, 8, 70.0, 37.0, 0.0, 0.5), "one of a4, us-letter"),
    ],
)
def test_a_sheet_that_cannot_be_is_refused(sizes, reason):
    with pytest.raises(BadValue, match=reason):
        LabelStock.of(*sizes)


def test_a_first_position_beyond_the_sheet_is_refused():
    with pytest.raises(BadValue, match="from 1 to 8"):
        label_sheets(some(1), STOCKS["A4, 2 x 4, 99.1 x 67.7 mm"], first=9)
    with pytest.raises(BadValue, match="page Rack"):
        label_sheets([], STOCKS["A4, 2 x 4, 99.1 x 67.7 mm"])
