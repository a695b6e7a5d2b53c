"""Whether a plan can be cut as it says, and costs what it says: walked along saw cut by saw cut.

This shares no arithmetic with the planner. Where the planner sums slots, this keeps the place of the blade and asks
of each piece where it begins and ends; a plan no one may see is one this finds a fault in. What comes of the cuts is
counted against what is wanted in ``planner.cutting.plan.counting``.
"""

from __future__ import annotations

from collections import Counter

from planner.cutting.plan.counting import Made, count_faults, way_faults
from planner.cutting.plan.terms import BoardCut, CutJob, CutPlan, RoughCut, Rules, StockBoard, StripCut

# (board, number of the rough length, kind, width, length, credit) -> how many
_Kept = Counter[tuple[str, int, str, int, int, int]]


def faults_of(plan: CutPlan, job: CutJob) -> tuple[str, ...]:
    """Every fault in plain sentences, none for a sound plan. Sizes in the job's units, money in its money units.

    Looked at: boards that exist and are used once; woods; where every rough length begins and ends, clear of bad wood;
    its steps, the limits of length, width and thickness; layers; every kerf, trim, snipe, oversize and grip; the count
    of every part, its shade, its board, the pieces it is cut apart into; ways of ripping; the offcuts, their credit,
    and the cost. Source of the rules: ``planner.cutting.plan.terms``.
    """
    faults: list[str] = []
    shelf = {board.name: board for board in job.stock}
    if len(shelf) != len(job.stock):
        faults.append("Two boards of the stock bear one name.")
    made: Made = Counter()
    kept: _Kept = Counter()
    opened: set[str] = set()
    spent = 0
    for cut in plan.boards:
        board = shelf.get(cut.board)
        if board is None:
            faults.append(f"There is no board {cut.board}.")
            continue
        if cut.board in opened:
            faults.append(f"The board {cut.board} is cut twice.")
        opened.add(cut.board)
        spent += board.cost
        faults += _walk_board(cut, board, job.rules, made, kept)
    faults += way_faults(plan, job)
    faults += count_faults(plan, job, made)
    told = Counter((o.board, o.rough, o.kind, o.width, o.length, o.credit) for o in plan.offcuts)
    # Pieces credited with nothing may be left unnamed, as the first plans left them; none may be made up.
    if told - kept or any(key[5] for key in kept - told):
        faults.append("The offcuts named are not those the cuts leave.")
    back = sum(key[5] * times for key, times in kept.items())
    if (plan.boards_cost, plan.credit) != (spent, back):
        faults.append(f"The cost is {spent} less {back}, not {plan.boards_cost} less {plan.credit}.")
    return tuple(faults)


def _walk_board(cut: BoardCut, board: StockBoard, rules: Rules, made: Made, kept: _Kept) -> list[str]:
    faults = []
    blade, end = rules.end_trim, board.length - rules.end_trim
    for i, rough in enumerate(cut.rough):
        where = f"Board {cut.board}, rough length {i + 1}"
        if rough.at < blade:
            faults.append(f"{where} begins at {rough.at}; nothing is left before {blade}.")
        past = rough.at + rough.length
        if rough.length <= 0 or past > end:
            faults.append(f"{where} ends at {past}, beyond {end}.")
        for begins, ends in board.bad:
            # The cut that frees what follows lies in the bad wood, or as much of it as there is.
            clear = max(ends, begins + rules.crosscut_kerf)
            if ends > rules.end_trim and rough.at < clear and past > begins:
                faults.append(f"{where}, from {rough.at} to {past}, touches what is bad from {begins} to {clear}.")
        blade = past + rules.crosscut_kerf
        if rough.strips:
            faults += _walk_rough(where, rough, board, rules)
        elif rough.resawn or rough.under:
            faults.append(f"{where} is resawn and not ripped.")
        _count(i, rough, board, rules, made, kept)
    return faults


def _walk_rough(where: str, rough: RoughCut, board: StockBoard, rules: Rules) -> list[str]:
    faults = []
    if rough.length % rules.grid:
        faults.append(f"{where} is {rough.length} long, not in steps of {rules.grid}.")
    if rough.length < rules.shortest_rough:
        faults.append(f"{where} is {rough.length} long; nothing shorter than {rules.shortest_rough} is milled.")
    if rules.longest_rip and rough.length > rules.longest_rip:
        faults.append(f"{where} is {rough.length} long; no more than {rules.longest_rip} is ripped.")
    if rough.thickness < rules.thinnest:
        faults.append(f"{where} is {rough.thickness} thick; nothing thinner than {rules.thinnest} is milled.")
    yields = board.resawn if rough.resawn else board.yields
    if not 0 < rough.thickness <= yields:
        what = "a layer of the board" if rough.resawn else "the board"
        faults.append(f"{where} is {rough.thickness} thick; {what} yields {yields}.")
    if rough.under and not rough.resawn:
        faults.append(f"{where} has a second layer and is not resawn.")
    faults += _walk_layer(where, rough.strips, 0, rough.length, board, rules)
    faults += _walk_layer(where, rough.under, len(rough.strips), rough.length, board, rules)
    return faults


def _walk_layer(
    where: str, strips: tuple[StripCut, ...], before: int, length: int, board: StockBoard, rules: Rules
) -> list[str]:
    faults = []
    blade, far = rules.edge_trim, board.width - rules.edge_trim
    for j, strip in enumerate(strips):
        called = f"{where}, strip {before + j + 1}"
        if j:
            blade += rules.rip_kerf
        wide = strip.width + rules.over_width
        blade += wide
        if wide < rules.narrowest:
            faults.append(f"{called} is {wide} wide; nothing narrower than {rules.narrowest} is ripped.")
        if strip.width <= 0 or blade > far:
            faults.append(f"{called} ends {blade} across, beyond {far}.")
        faults += _walk_strip(called, strip, length, rules)
    return faults


def _walk_strip(where: str, strip: StripCut, length: int, rules: Rules) -> list[str]:
    """The blade stands behind each part in turn; the last part may end the strip itself where nothing is held."""
    faults = _apart(where, strip, rules)
    blade = rules.snipe + rules.crosscut_kerf if rules.snipe > 0 else 0
    last = length - max(rules.snipe, rules.grip)
    free = rules.snipe <= 0 and rules.grip <= 0
    pieces = [size for size, count in strip.parts for _ in range(count)]
    if any(count <= 0 or size <= 0 for size, count in strip.parts):
        return [*faults, f"{where} has a part of no size or no count."]
    for n, size in enumerate(pieces):
        blade += size + rules.over_length
        after = blade if free and n == len(pieces) - 1 else blade + rules.crosscut_kerf
        if after > last:
            return [*faults, f"{where}, part {n + 1} is cut at {after}, beyond {last}."]
        blade += rules.crosscut_kerf
    return faults


def _apart(where: str, strip: StripCut, rules: Rules) -> list[str]:
    """Whether the pieces a part is cut apart into, each left long for gauging, end where the part ends."""
    faults = []
    there: Counter[int] = Counter()
    for size, count in strip.parts:
        there[size] += count
    for pieces, times in strip.pieces:
        if times <= 0 or len(pieces) < 2 or min(pieces) <= 0:
            faults.append(f"{where} has a part cut apart into no pieces, or no times.")
            continue
        end = pieces[0] + rules.over_length
        for piece in pieces[1:]:
            end += rules.crosscut_kerf + piece + rules.over_length
        there[end - rules.over_length] -= times
    if any(count < 0 for count in there.values()):
        faults.append(f"{where} has pieces that do not make up as many of its parts.")
    return faults


def _count(i: int, rough: RoughCut, board: StockBoard, rules: Rules, made: Made, kept: _Kept) -> None:
    full = board.width - rules.edge_trim - rules.edge_trim
    # Half a board's thickness is worth half, rounded down, before an offcut is weighed.
    worth = board.worth // 2 if rough.resawn else board.worth

    def keep(kind: str, width: int, length: int) -> None:
        if length >= rules.keep_length and length > 0 and width > 0:
            money = (worth * width * length) // rules.worth_area
            # What is as long and as wide as is kept goes back even where it is credited with nothing.
            if money > 0 or width >= rules.keep_width:
                kept[board.name, i, kind, width, length, money] += 1

    if not rough.strips:
        if full >= rules.keep_width:
            keep("end", full, rough.length)
        return
    for strips in (rough.strips, rough.under) if rough.resawn else (rough.strips,):
        left = full
        for strip in strips:
            wide = strip.width + rules.over_width
            left -= wide + rules.rip_kerf
            tail = rough.length - (rules.snipe + rules.crosscut_kerf if rules.snipe else 0)
            for size, count in strip.parts:
                made[board.name, strip.width, rough.thickness, size, ()] += count
                tail -= (size + rules.over_length + rules.crosscut_kerf) * count
            for pieces, times in strip.pieces:
                size = sum(pieces) + (len(pieces) - 1) * (rules.over_length + rules.crosscut_kerf)
                made[board.name, strip.width, rough.thickness, size, ()] -= times
                made[board.name, strip.width, rough.thickness, size, pieces] += times
            keep("tail", wide, tail)
        if left >= rules.keep_width:
            keep("edge" if strips else "layer", left, rough.length)
