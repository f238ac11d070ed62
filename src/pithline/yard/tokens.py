"""Tokens that let a program or a phone use the book; only a digest of each is kept."""

from __future__ import annotations

import hashlib
import secrets
from datetime import UTC, datetime, timedelta

from pithline.errors import BadValue
from pithline.yard.models import Token

__all__ = ["end_token", "make_token", "token_of", "tokens"]

_MARK = "pith_"  # so that a token found in a file tells what it opens


def make_token(name: str) -> str:
    """A new token, to be shown once.

    Parameters
    ----------
    name : str
        Whose it is: a phone, a program. One name has one good token at a time.

    Raises
    ------
    BadValue
        An empty or overlong name, or one whose token is still good.
    """
    name = name.strip()
    if not 0 < len(name) <= 80:
        raise BadValue("name", name, "1 to 80 letters", "Say whose token it is: a phone, a program.")
    if Token.objects.filter(name__iexact=name, revoked_at=None).exists():
        raise BadValue("name", name, "new", f'End the old token first: pithline token --end "{name}".')
    token = _MARK + secrets.token_urlsafe(32)
    Token.objects.create(name=name, digest=_digest(token))
    return token


def end_token(name: str) -> None:
    """Make a token good for nothing, at once.

    Raises
    ------
    BadValue
        No good token has this name.
    """
    ended = Token.objects.filter(name__iexact=name.strip(), revoked_at=None).update(revoked_at=_now())
    if not ended:
        good = ", ".join(Token.objects.filter(revoked_at=None).values_list("name", flat=True))
        raise BadValue("name", name, "that of a good token", f"There are: {good}." if good else "")


def tokens() -> list[Token]:
    """Every good token, oldest first."""
    return list(Token.objects.filter(revoked_at=None))


def token_of(text: str) -> Token | None:
    """The good token that this text is; notes that it was used.

    A digest without salt or stretching is enough: the token is 256 random bits, not a word.
    """
    token = Token.objects.filter(digest=_digest(text), revoked_at=None).first()
    # Once a minute will do: a note on each request would be a write on each request.
    if token and (token.last_used_at is None or _now() - token.last_used_at > timedelta(minutes=1)):
        Token.objects.filter(pk=token.pk).update(last_used_at=_now())
    return token


def _digest(text: str) -> str:
    return hashlib.sha256(text.encode("utf-8", "replace")).hexdigest()


def _now() -> datetime:
    return datetime.now(UTC)
