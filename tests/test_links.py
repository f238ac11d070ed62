"""A link in a document leads to something."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
DOCUMENTS = sorted([*ROOT.glob("*.md"), *ROOT.glob("docs/**/*.md")])
PAGES = [page for page in DOCUMENTS if page.parent == ROOT / "docs" and page.name != "README.md"]
LINK = re.compile(r"\]\(([^)\s]+)\)")


def leads_to(document: Path) -> list[Path]:
    """Files that a document links to; addresses of the internet are left alone."""
    links = (link.partition("#")[0] for link in LINK.findall(document.read_text(encoding="utf-8")))
    return [(document.parent / link).resolve() for link in links if link and "://" not in link]


@pytest.mark.parametrize("document", DOCUMENTS, ids=lambda d: d.name)
def test_links_lead_to_files(document: Path) -> None:
    assert [target for target in leads_to(document) if not target.exists()] == []


def test_the_index_lists_every_page() -> None:
    assert set(PAGES) <= set(leads_to(ROOT / "docs" / "README.md"))


def test_links_are_found() -> None:
    assert ROOT / "CONTRIBUTING.md" in leads_to(ROOT / "README.md")
