"""What can be done to the book; every change is one of these."""

from pithline.yard.actions.logs import decide_log, measure_log, take_log

__all__ = ["decide_log", "measure_log", "take_log"]
