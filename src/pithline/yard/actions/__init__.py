"""What can be done to the book; every change is one of these."""

from pithline.yard.actions.kit import fit_part, keep_profile, make_usual, run_hours
from pithline.yard.actions.logs import change_log, decide_log, measure_log, take_log
from pithline.yard.actions.notes import ask_for, attach_photo, detach_photo, settle_want, write_note
from pithline.yard.actions.people import add_contact, add_place, change_contact, change_place
from pithline.yard.actions.pieces import join_slabs, pair_slabs, split_slab, unpair_slabs
from pithline.yard.actions.plans import choose_plan, keep_plan, note_cut
from pithline.yard.actions.settings import set_preference
from pithline.yard.actions.slabs import (
    build_stack,
    change_slab,
    move_slab,
    price_slab,
    resize_slab,
    scrap_slab,
    share_slab,
)
from pithline.yard.actions.tally import tally_slab, tally_slabs
from pithline.yard.actions.undo import undo_entry

__all__ = [
    "add_contact", "add_place", "ask_for", "attach_photo", "build_stack", "change_contact", "change_log",
    "change_place", "change_slab", "choose_plan", "decide_log", "detach_photo", "fit_part", "join_slabs",
    "keep_plan", "keep_profile", "make_usual", "measure_log", "move_slab", "note_cut", "pair_slabs",
    "price_slab", "resize_slab", "run_hours", "scrap_slab", "set_preference", "settle_want", "share_slab",
    "split_slab", "take_log", "tally_slab", "tally_slabs", "undo_entry", "unpair_slabs", "write_note",
]  # fmt: skip
