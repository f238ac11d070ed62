"""What to saw next below a face at any height: read from the tables of the chain, not planned again."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from pithline.errors import BadValue
from pithline.saw.menu import Choice
from pithline.saw.model import Model
from pithline.saw.solution import Solution, without_bonus
from pithline.saw.uses.pieces import pieces_of
from pithline.saw.uses.use import Piece
from pithline.units import System, show_length

__all__ = ["NextCut", "all_open", "line_of", "next_cut", "state_after"]


@dataclass(frozen=True, slots=True)
class NextCut:
    """The best thing to do with the wood below a sawn face. Lengths in metres.

    Attributes
    ----------
    line : int
        The face: the lower side of a kerf, in lines of the planner's grid.
    height : float
        The same above the pith line at mid-length.
    kind : {"slab", "pair", "waste", "stop"}
        What the next cut frees; a pair is two slabs by two equal settings.
    set_to : float
        Face to the kerf's near side; 0 at a stop.
    choice : int
        Number in the model's thickness menu; -1 where nothing is sold.
    pieces : tuple of Piece
        What the slab is for, where there are uses; of a pair its first slab.
    to_come : float
        Net value of the best plan of all wood below the face, in money or tally units.
    below : int or None
        The next face, in lines; None at a stop.
    state : int
        What is still open of the counted uses once the piece is sold.
    """

    line: int
    height: float
    kind: str
    set_to: float
    choice: int
    pieces: tuple[Piece, ...]
    to_come: float
    below: int | None
    state: int

    def aim(self, model: Model) -> Choice | None:
        """The thickness that is sawn."""
        return model.choices[self.choice] if self.choice >= 0 else None


def all_open(model: Model) -> int:
    """The state in which nothing has been sold yet."""
    return 0 if model.wants is None else int(model.wants.next_state.shape[0]) - 1


def line_of(solution: Solution, model: Model, butt: float, top: float, system: System = "metric") -> int:
    """The planner's line of a face that was measured from the pith marks, rounded down.

    Parameters
    ----------
    solution : Solution
    model : Model
    butt, top : float
        Face above (+) or below (-) the pith mark at each end. [m]
    system : {"metric", "inch"}
        For the sizes in a refusal.

    Raises
    ------
    BadValue
        A face outside the log, or one that leans otherwise than the plan's cuts.
    """
    step, rise = model.reach.step, solution.setting.pitch * float(model.wood.z[-1])
    lean = (top - butt) - rise
    # Two readings of a tape; a face that leans by more is another plan.
    if abs(lean) > max(0.01, 2 * step):
        raise BadValue(
            "face",
            f"{show_length(butt, system)} at the butt, {show_length(top, system)} at the top",
            f"{show_length(rise, system)} higher at the top than at the butt, as the plan's cuts are",
            "Measure again; if the face does lean so, plan what is left with that pitch.",
        )
    line = math.floor(0.5 * (butt + top) / step + 1e-6)
    low, high = solution.first, solution.first + solution.tables.costs.size - 1
    if not low <= line <= high:
        tilt = 0.5 * rise
        raise BadValue(
            "face",
            show_length(butt, system),
            f"from {show_length(low * step - tilt, system)} to {show_length(high * step - tilt, system)} "
            "at the butt, where the log is",
            "Measure from the pith mark; a face below it is written with a minus.",
        )
    return line


def next_cut(solution: Solution, model: Model, line: int, state: int | None = None) -> NextCut:
    """The next cut below a face, as the best plan of what is left has it.

    Parameters
    ----------
    solution : Solution
        Of the roll and pitch that are sawn: only its tables are read, so it serves any
        row of cuts made so far.
    model : Model
    line : int
        The face, in lines of the planner (see `line_of`).
    state : int, optional
        What is still open of the counted uses (see `state_after`); everything where not given.

    Returns
    -------
    NextCut

    Notes
    -----
    Exact: the chain was solved for the wood below every face, so this is the plan that a
    new search over the rest of the log would find at this roll and pitch. The log is
    sawn from above; wood that is reached only once the log is turned over is in the
    value where the aims allow turning.
    """
    f, step, kerf = line - solution.first, model.reach.step, model.reach.kerf
    wants, claimed = model.wants, solution.claimed
    if wants is None or claimed is None:
        take, kind, which, choice = int(solution.tables.take[f]), 0, 0, -1
        to_come, state = float(solution.tables.best[f]), 0
        if take >= 0:
            choice = take
    else:
        from pithline.saw.uses.chain_kernel import unpack

        state = all_open(model) if state is None else state
        take, kind, which, choice = int(claimed.take[f, state]), 0, 0, -1
        to_come = float(without_bonus(claimed.best[f : f + 1, state], wants)[0])
        if take >= 0:
            kind, choice, which = (int(n) for n in unpack(take, wants.bonus.size, model.pay.thick.size))
    if take == -1:
        return NextCut(line, line * step, "stop", 0.0, -1, (), to_come, None, state)
    if take < -1:
        lines = -take - 2
        return NextCut(line, line * step, "waste", lines * step, -1, (), to_come, line - lines - kerf, state)
    lines = int(model.pay.thick[choice])
    below, after = line - lines - kerf, state
    pieces: tuple[Piece, ...] = ()
    if wants is not None:
        slabs = ((line, choice),) if kind == 0 else ((line, choice), (below, choice))
        takes = ((which, -1),) if kind == 0 else ((0, which), (0, which))
        pieces = pieces_of(0, replace(solution, slabs=slabs, takes=takes), model)
        claim = which if kind == 0 else int(wants.single[wants.pairs[which]])
        after = int(wants.next_state[state, claim])
    if kind:
        below -= lines + kerf
    return NextCut(
        line,
        line * step,
        "pair" if kind else "slab",
        lines * step,
        choice,
        pieces,
        to_come,
        below,
        after,
    )


def state_after(model: Model, sold: dict[str, int]) -> int:
    """What is still open once some of the counted uses have been cut.

    Parameters
    ----------
    model : Model
    sold : dict of name to count
        Pieces (or pairs) that are cut; names that nobody counts are passed over.

    Raises
    ------
    BadValue
        A name that is neither a use nor an order, or more than can be sold.
    """
    for name in sold:
        if name not in model.use_names:
            known = ", ".join(model.use_names)
            rule = f"one of: {known}" if known else "left out: this plan has neither uses nor orders"
            raise BadValue("sold", name, rule)
    wants = model.wants
    if wants is None:
        return 0
    state, stride = 0, 1
    for k, cap, digit in zip(wants.counted, wants.caps, wants.digits, strict=True):
        name = model.use_names[int(k)]
        gone = sold.get(name, 0)
        if not 0 <= gone <= cap:
            raise BadValue("sold", f"{gone} of {name}", f"0 to {cap}", "Those beyond are sold by the tally.")
        state += max(int(digit) - gone, 0) * stride
        stride *= int(digit) + 1
    return state
