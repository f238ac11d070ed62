"""Refusals: what we found, what was needed, and the next step.

Everything a person can get wrong ends in one of these. The command line turns
them into exit code 2; anything else that escapes is our own fault and exits 1.
"""

from __future__ import annotations

__all__ = ["BadFile", "BadValue", "NoPlan", "Question", "Refused"]


class Refused(Exception):
    """Input that cannot be worked with; the message tells the remedy."""


class BadValue(Refused):
    """One field holds a value that breaks a rule.

    Parameters
    ----------
    field : str
        Where the value stands, in the words of the record (``log.butt.up``).
    value : object
        What was found, as the person wrote it where that is known.
    rule : str
        What is allowed, as the end of "must be ...".
    remedy : str, optional
        The next step, a full sentence.
    """

    def __init__(self, field: str, value: object, rule: str, remedy: str = "") -> None:
        self.field, self.value, self.rule, self.remedy = field, value, rule, remedy
        shown = f'"{value}"' if isinstance(value, str) else f"{value}"
        text = f"{field} is {shown}; it must be {rule}."
        super().__init__(f"{text} {remedy}".rstrip())


class BadFile(Refused):
    """A file that cannot be read as what it should be; names line and column."""


class Question(Refused):
    """Something unlikely that a person may confirm by a named option."""

    def __init__(self, question: str, option: str) -> None:
        self.question, self.option = question, option
        super().__init__(f"{question} If it is so, say {option}; if not, correct the record.")


class NoPlan(Refused):
    """The log, the mill and the aims leave nothing to saw; says what is in the way."""
