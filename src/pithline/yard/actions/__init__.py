"""What can be done to the book; every change is one of these."""

from pithline.yard.actions.air import set_months
from pithline.yard.actions.kit import fit_part, keep_profile, make_usual, run_hours
from pithline.yard.actions.loads import change_load, end_load, load_kiln, mark_loaded, set_kiln, start_load
from pithline.yard.actions.loggers import judge_logger, keep_logger
from pithline.yard.actions.logs import ask_worth, change_log, decide_log, measure_log, take_log
from pithline.yard.actions.notes import ask_for, attach_photo, detach_photo, settle_want, write_note
from pithline.yard.actions.people import add_contact, add_place, change_contact, change_place
from pithline.yard.actions.pieces import join_slabs, pair_slabs, split_slab, unpair_slabs
from pithline.yard.actions.plans import choose_plan, keep_plan, note_cut
from pithline.yard.actions.prices import note_comparable, note_lumber
from pithline.yard.actions.samples import change_sample, cut_sample, read_meter, weigh_piece
from pithline.yard.actions.selling import answer_offer, list_slab, note_offer, sell_slab, withdraw_slab
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
from pithline.yard.actions.spent import note_spending, note_work
from pithline.yard.actions.stacks import begin_phase, cover_stack, end_phase, lay_stack, seal_ends
from pithline.yard.actions.tally import tally_slab, tally_slabs
from pithline.yard.actions.undo import undo_entry

__all__ = [
    "add_contact", "add_place", "answer_offer", "ask_for", "ask_worth", "attach_photo", "begin_phase",
    "build_stack", "change_contact", "change_load", "change_log", "change_place", "change_sample",
    "change_slab", "choose_plan", "cover_stack", "cut_sample", "decide_log", "detach_photo", "end_load",
    "end_phase", "fit_part", "join_slabs", "judge_logger", "keep_logger", "keep_plan", "keep_profile",
    "lay_stack", "list_slab", "load_kiln", "make_usual", "mark_loaded", "measure_log", "move_slab",
    "note_comparable", "note_cut", "note_lumber", "note_offer", "note_spending", "note_work",
    "pair_slabs", "price_slab", "read_meter", "resize_slab", "run_hours", "scrap_slab", "seal_ends",
    "sell_slab", "set_kiln", "set_months", "set_preference", "settle_want", "share_slab", "split_slab",
    "start_load", "take_log", "tally_slab", "tally_slabs", "undo_entry", "unpair_slabs", "weigh_piece",
    "withdraw_slab", "write_note",
]  # fmt: skip
