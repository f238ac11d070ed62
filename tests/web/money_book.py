"""What the tests of the money pages share: answers, a call, and how a page is read."""

from __future__ import annotations

import datetime
import io
import re
from typing import Any

from pypdf import PdfReader

from pithline.yard.models import Slab

COSTS = {
    "saw": "1900 USD",
    "chain": "38 USD",
    "fuel": "2.00 per l",
    "km": "0.60 per km",
    "wage": "240 per day",
}
CALL = {
    "said": "1",
    "call.species": "northern red oak",
    "call.girth": "2.5 m",
    "call.length": "4 m",
    "call.distance": "38 km",
    "call.lumber": "4.20 per bf",
    "rates.rate": "16 USD per bf",
    "aims.thickness": "12/4\n8/4",
    **{f"costs.{name}": value for name, value in COSTS.items()},
}
HTMX = {"hx-request": "true", "hx-current-url": "http://localhost/money/"}
TODAY = datetime.date(2025, 11, 20)


def text(answer: Any) -> str:
    page = re.sub(r"<svg.*?</svg>", " ", answer.content.decode(), flags=re.S)
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", page)).replace("&#x27;", "'")


def printed(answer: Any) -> str:
    (page,) = PdfReader(io.BytesIO(answer.content)).pages
    return " ".join(page.extract_text().split())


def slab(label: str) -> Slab:
    log, number = label.split("-")
    return Slab.objects.get(log__number=log, number=number, suffix="")
