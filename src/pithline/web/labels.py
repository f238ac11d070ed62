"""What fields and choices are called on a page, where their own name will not do."""

from __future__ import annotations

from pithline.fields import Field, Table

__all__ = ["choice_label", "label"]

_NAMES = {
    "owner": "Whose wood",
    "owner_contact": "The other party",
    "owner_share": "Their share",
    "consent_on": "Landowner said yes on",
    "agreed": "What was agreed",
    "answer_by": "Answer by",
    "saw_on": "Log day",
    "felled_on": "Felled on",
    "offered_on": "Offered on",
    "latitude_deg": "Latitude",
    "longitude_deg": "Longitude",
    "at": "From the butt",
    "from": "From",
    "to": "To",
    "up_to": "Up to",
    "pith_right": "Pith right of the middle",
    "pith_up": "Pith above the middle",
    "seen_from": "You stand at",
    "bearer_butt": "Bearer at the butt",
    "bearer_top": "Bearer at the top",
    "second_pith": "Second pith",
    "yard": "Your yard",
    "person": "Who enters",
    "system": "Sizes shown in",
    "zone": "Time zone",
    "tally": "Tally rule",
    "unit": "Tally unit",
    "label_stock": "Label sheets",
    "stick": "Sticks",
    "go_first": "What goes first",
    "base_address": "Address of this book",
    "keep_photo_data": "What cameras write into photos",
    "tape": "Across, bare numbers are",
    "along": "Along, bare numbers are",
    "met": "Done with",
    "usual": "Take it usually",
    "ran": "Ran since the last time",
    "reads": "Or: the meter shows",
    "fitted": "Put on now",
    "life": "Usually lasts",
    "spares": "Spares in the box",
    "top_is_wider": "The top is wider than the butt",
    "use": "Uses",
    "order": "Orders",
}
_CHOICES = {
    "owner": {"own": "our own", "customer": "a customer's", "shares": "shared"},
    "decision": {"take": "take it", "decline": "decline it"},
    "bark": {"under": "under the bark", "over": "over the bark"},
    "seen_from": {"butt": "the butt", "top": "the top"},
}


def label(field: Field | Table) -> str:
    """A field as a person calls it: its name with spaces, unless it has a better one."""
    return _NAMES.get(field.name) or field.name.replace("_", " ").capitalize()


def choice_label(field: Field, choice: str) -> str:
    """One choice as a person reads it."""
    return _CHOICES.get(field.name, {}).get(choice, choice)
