"""Whether a plan can be cut as it says, and costs what it says: walked along saw cut by saw cut.

This shares no arithmetic with the planner. Where the planner sums slots, this keeps the place of the blade and asks
of each piece where it begins and ends; a plan no one may see is one this finds a fault in.
"""

from __future__ import annotations

from collections import Counter

from planner.cutting.plan.terms import BoardCut, CutJob, CutPlan, RoughCut, Rules, StockBoard, StripCut


def faults_of(plan: CutPlan, job: CutJob) -> tuple[str, ...]:
    """Every fault in plain sentences, none for a sound plan. Sizes in the job's units, money in its money units.

    Looked at: boards that exist and are used once; woods; rough lengths on the grid, not longer than is ripped, not
    thicker than the board yields; every kerf, trim, snipe, oversize and grip; the count of every part; the offcuts,
    their credit, and the cost. Source of the rules: ``planner.cutting.plan.terms``.
    """
    faults: list[str] = []
    shelf = {board.name: board for board in job.stock}
    if len(shelf) != len(job.stock):
        faults.append("Two boards of the stock bear one name.")
    wanted: Counter[tuple[str, int, int, int]] = Counter()
    for part in job.parts:
        wanted[part.wood, part.width, part.thickness, part.length] += part.count
    made: Counter[tuple[str, int, int, int]] = Counter()
    kept: Counter[tuple[str, int, str, int, int, int]] = Counter()
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
    for key in sorted(wanted.keys() | made.keys()):
        if wanted[key] != made[key]:
            faults.append(
                f"Of {key[0]} {key[1]} by {key[2]} by {key[3]}, {made[key]} are cut; {wanted[key]} are wanted."
            )
    told = Counter((o.board, o.rough, o.kind, o.width, o.length, o.credit) for o in plan.offcuts)
    if told != kept:
        faults.append("The offcuts named are not those the cuts leave.")
    back = sum(key[5] * times for key, times in kept.items())
    if (plan.boards_cost, plan.credit) != (spent, back):
        faults.append(f"The cost is {spent} less {back}, not {plan.boards_cost} less {plan.credit}.")
    return tuple(faults)


def _walk_board(
    cut: BoardCut,
    board: StockBoard,
    rules: Rules,
    made: Counter[tuple[str, int, int, int]],
    kept: Counter[tuple[str, int, str, int, int, int]],
) -> list[str]:
    faults = []
    at, end = rules.end_trim, board.length - rules.end_trim
    for i, rough in enumerate(cut.rough):
        where = f"Board {cut.board}, rough length {i + 1}"
        if i:
            at += rules.crosscut_kerf
        at += rough.length
        if rough.length <= 0 or at > end:
            faults.append(f"{where} ends at {at}, beyond {end}.")
        if rough.strips:
            faults += _walk_rough(where, rough, board, rules)
        _count(i, rough, board, rules, made, kept)
    return faults


def _walk_rough(where: str, rough: RoughCut, board: StockBoard, rules: Rules) -> list[str]:
    faults = []
    if rough.length % rules.grid:
        faults.append(f"{where} is {rough.length} long, not in steps of {rules.grid}.")
    if rough.length < rules.shortest_rough:
        faults.append(f"{where} is {rough.length} long; nothing shorter than {rules.shortest_rough} is milled.")
    if rough.thickness < rules.thinnest:
        faults.append(f"{where} is {rough.thickness} thick; nothing thinner than {rules.thinnest} is milled.")
    if rules.longest_rip and rough.length > rules.longest_rip:
        faults.append(f"{where} is {rough.length} long; no more than {rules.longest_rip} is ripped.")
    if not 0 < rough.thickness <= board.yields:
        faults.append(f"{where} is {rough.thickness} thick; the board yields {board.yields}.")
    blade, far = rules.edge_trim, board.width - rules.edge_trim
    for j, strip in enumerate(rough.strips):
        if j:
            blade += rules.rip_kerf
        blade += strip.width + rules.over_width
        if strip.width + rules.over_width < rules.narrowest:
            faults.append(
                f"{where}, strip {j + 1} is {strip.width + rules.over_width} wide; nothing narrower than "
                f"{rules.narrowest} is ripped."
            )
        if strip.width <= 0 or blade > far:
            faults.append(f"{where}, strip {j + 1} ends {blade} across, beyond {far}.")
        faults += _walk_strip(f"{where}, strip {j + 1}", strip, rough.length, rules)
    return faults


def _walk_strip(where: str, strip: StripCut, length: int, rules: Rules) -> list[str]:
    """The blade stands behind each part in turn; the last part may end the strip itself where nothing is held."""
    blade = rules.snipe + rules.crosscut_kerf if rules.snipe > 0 else 0
    last = length - max(rules.snipe, rules.grip)
    free = rules.snipe <= 0 and rules.grip <= 0
    pieces = [size for size, count in strip.parts for _ in range(count)]
    if any(count <= 0 or size <= 0 for size, count in strip.parts):
        return [f"{where} has a part of no size or no count."]
    for n, size in enumerate(pieces):
        blade += size + rules.over_length
        after = blade if free and n == len(pieces) - 1 else blade + rules.crosscut_kerf
        if after > last:
            return [f"{where}, part {n + 1} is cut at {after}, beyond {last}."]
        blade += rules.crosscut_kerf
    return []


def _count(
    i: int,
    rough: RoughCut,
    board: StockBoard,
    rules: Rules,
    made: Counter[tuple[str, int, int, int]],
    kept: Counter[tuple[str, int, str, int, int, int]],
) -> None:
    full = board.width - rules.edge_trim - rules.edge_trim

    def keep(kind: str, width: int, length: int) -> None:
        if length >= rules.keep_length and length > 0 and width > 0:
            money = (board.worth * width * length) // rules.worth_area
            if money > 0:
                kept[board.name, i, kind, width, length, money] += 1

    if not rough.strips:
        if full >= rules.keep_width:
            keep("end", full, rough.length)
        return
    left = full
    for strip in rough.strips:
        wide = strip.width + rules.over_width
        left -= wide + rules.rip_kerf
        tail = rough.length - (rules.snipe + rules.crosscut_kerf if rules.snipe else 0)
        for size, count in strip.parts:
            made[board.wood, strip.width, rough.thickness, size] += count
            tail -= (size + rules.over_length + rules.crosscut_kerf) * count
        keep("tail", wide, tail)
    if left >= rules.keep_width:
        keep("edge", left, rough.length)
