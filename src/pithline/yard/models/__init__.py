"""The records of the book. Lengths in metres, money in whole minor units, instants in UTC."""

from pithline.yard.models.climate import Logger, Month
from pithline.yard.models.costing import Effort, Spending
from pithline.yard.models.drying import Phase, Reading, Sample, Stay, Weighing
from pithline.yard.models.entry import Counter, Entry
from pithline.yard.models.files import Attachment, StoredFile
from pithline.yard.models.kilns import KilnLoad, KilnStep, Loaded
from pithline.yard.models.kit import Part, Profile
from pithline.yard.models.logs import Log
from pithline.yard.models.notes import Note, Want
from pithline.yard.models.people import Contact, Place
from pithline.yard.models.plans import Cut, Plan
from pithline.yard.models.preference import Preference
from pithline.yard.models.selling import Asked, Comparable, Dried, Listing, LumberRate, Offer, Sale
from pithline.yard.models.slabs import Pair, Parent, Size, Slab, Stack
from pithline.yard.models.work import Job, Token

__all__ = [
    "Asked",
    "Attachment",
    "Comparable",
    "Contact",
    "Counter",
    "Cut",
    "Dried",
    "Effort",
    "Entry",
    "Job",
    "KilnLoad",
    "KilnStep",
    "Listing",
    "Loaded",
    "Log",
    "Logger",
    "LumberRate",
    "Month",
    "Note",
    "Offer",
    "Pair",
    "Parent",
    "Part",
    "Phase",
    "Place",
    "Plan",
    "Preference",
    "Profile",
    "Reading",
    "Sale",
    "Sample",
    "Size",
    "Slab",
    "Spending",
    "Stack",
    "Stay",
    "StoredFile",
    "Token",
    "Want",
    "Weighing",
]
