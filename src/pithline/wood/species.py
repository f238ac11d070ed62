"""Find a wood by what people call it: any case, any order of words, trade or botanical name."""

from __future__ import annotations

import difflib
import re
import unicodedata
from functools import cache

from pithline.errors import BadValue
from pithline.wood.facts import Fact, Species, all_species, rows

__all__ = ["Fact", "Species", "all_species", "find", "species"]

_SHOWN = 12  # candidates in one message
_MEANT = 4  # guesses at a misspelled name


def species(name: object, field: str = "species") -> Species:
    """The one wood that a name means.

    Parameters
    ----------
    name : object
        ``Red oak``, ``oak, red``, ``Quercus rubra``, ``white ash``.
    field : str
        Named in the refusal.

    Returns
    -------
    species : Species

    Raises
    ------
    BadValue
        Unknown (says what was probably meant) or more than one wood (names them).

    Notes
    -----
    Tried in this order: the full name in any order of words; another name, trade or
    botanical; every word found among a wood's names. Where one of several is the plain wood and the
    rest are the same species grown elsewhere, the plain wood is meant. Trade names
    ("red oak", "hard maple") are common practice, no source.
    """
    if not isinstance(name, str) or not _words(name):
        raise BadValue(field, name, "the name of a wood", 'Write it like "northern red oak".')
    found = _candidates(name)
    if len(found) == 1:
        return found[0]
    words = " ".join(_words(name))
    if found:
        remedy = f'Give the full name, like "{found[0].name}". See: pithline species --find "{words}".'
        raise BadValue(field, name, f"one wood; this could be {_listed(found)}", remedy)
    remedy = 'List what is known with: pithline species --find "oak".'
    if meant := _meant(name):
        remedy = f"Did you mean {' or '.join(meant)}? {remedy}"
    raise BadValue(field, name, "a wood that is known here", remedy)


def find(words: str) -> tuple[Species, ...]:
    """Every wood whose names hold all of these words or beginnings of words."""
    wanted = _words(words)
    found = [wood for wood, names in _index() if all(_begins(word, names) for word in wanted)]
    return tuple(found)


def _candidates(name: str) -> tuple[Species, ...]:
    plain, bag = "".join(_words(name)), sorted(_words(name))
    woods = _index()
    full = [wood for wood, names in woods if sorted(names[0]) == bag]
    exact = [wood for wood, names in woods if any("".join(each) == plain for each in names)]
    same = [wood for wood, names in woods if any(sorted(each) == bag for each in names)]
    # The first name is the common one: "walnut" is not a question about butternut, the white walnut.
    common = [wood for wood, names in woods if set(bag) <= set(names[0])]
    any_name = [wood for wood, names in woods if set(bag) <= {word for each in names for word in each}]
    return _plain_one(full or exact or same or common or any_name)


def _plain_one(found: list[Species]) -> tuple[Species, ...]:
    """Of the same species from several places, the one that is not named after a place."""
    plain = [wood for wood in found if "-grown" not in wood.name]
    if len(plain) == 1 and all(wood.scientific == plain[0].scientific for wood in found):
        return tuple(plain)
    return tuple(found)


def _meant(name: str) -> list[str]:
    """Up to four names that are spelled much like this one, quoted."""
    known = {word for _, names in _index() for each in names for word in each}
    fixed = [difflib.get_close_matches(word, sorted(known), n=1, cutoff=0.75) for word in _words(name)]
    if all(fixed):
        words = " ".join(options[0] for options in fixed)
        woods = _candidates(words)
        if len(woods) > _MEANT:
            return [f'"{words}"']
        if woods:
            return [f'"{wood.name}"' for wood in woods]
    spelled: dict[str, Species] = {}
    for wood, names in _index():
        for each in names:
            spelled.setdefault(" ".join(each), wood)
            spelled.setdefault(" ".join(sorted(each)), wood)
    close = difflib.get_close_matches(" ".join(_words(name)), spelled, n=6, cutoff=0.7)
    return list(dict.fromkeys(f'"{spelled[each].name}"' for each in close))[:_MEANT]


@cache
def _index() -> tuple[tuple[Species, tuple[tuple[str, ...], ...]], ...]:
    """Each wood with all its names, split into plain words."""
    trade: dict[str, list[str]] = {}
    for row in rows("aliases.csv"):
        trade.setdefault(row["common_name"], []).append(row["alias"])
    index = []
    for wood in all_species():
        main, _, others = wood.name.partition("(")
        names = [wood.name, main, *others.rstrip(")").split(","), wood.scientific, *trade.get(wood.name, [])]
        index.append((wood, tuple(dict.fromkeys(_words(name) for name in names if name.strip()))))
    return tuple(index)


def _words(name: str) -> tuple[str, ...]:
    """Lower-case words without accents, hyphens or commas."""
    bare = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode().lower()
    return tuple(re.findall(r"[a-z]+", bare))


def _begins(word: str, names: tuple[tuple[str, ...], ...]) -> bool:
    return any(each.startswith(word) for words in names for each in words)


def _listed(found: tuple[Species, ...]) -> str:
    names = "; ".join(wood.name for wood in found[:_SHOWN])
    return names + (f"; and {len(found) - _SHOWN} more" if len(found) > _SHOWN else "")
