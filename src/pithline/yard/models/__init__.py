"""The records of the book. Lengths in metres, money in whole minor units, instants in UTC."""

from pithline.yard.models.entry import Counter, Entry
from pithline.yard.models.files import Attachment, StoredFile
from pithline.yard.models.kit import Part, Profile
from pithline.yard.models.logs import Log
from pithline.yard.models.notes import Note, Want
from pithline.yard.models.people import Contact, Place
from pithline.yard.models.plans import Cut, Plan
from pithline.yard.models.preference import Preference
from pithline.yard.models.slabs import Pair, Parent, Size, Slab, Stack
from pithline.yard.models.work import Job, Token

__all__ = [
    "Attachment",
    "Contact",
    "Counter",
    "Cut",
    "Entry",
    "Job",
    "Log",
    "Note",
    "Pair",
    "Parent",
    "Part",
    "Place",
    "Plan",
    "Preference",
    "Profile",
    "Size",
    "Slab",
    "Stack",
    "StoredFile",
    "Token",
    "Want",
]
