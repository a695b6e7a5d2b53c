"""The trade's own rules of making a board, looked at step by step on a timetable: what the planner's links should have
come to, worked out anew from what each step says it is."""

from __future__ import annotations

from collections import Counter
from functools import partial
from itertools import pairwise
from math import ceil


class Made:
    """Steps of one copy of a board with their times in minutes."""

    def __init__(self, glue, timetable):
        slot = glue.work.slot_minutes
        self.steps = [
            (step, start * slot, (start + task.attended) * slot, (start + task.span) * slot)
            for step, task, start in zip(glue.steps, glue.work.tasks, timetable.starts, strict=True)
        ]
        self.slot = slot

    def of(self, kind, board, copy=None):
        return [one for one in self.steps if one[0].kind == kind and one[0].board == board and one[0].copy in (copy, 0)]


def broken_rules(glue, timetable, boards, shop, adhesive, finish, around, without=()):
    """Every rule that is broken, in words; ``without`` are places of boards of which nothing is made."""
    made, broken = Made(glue, timetable), []

    def rule(holds, words):
        if not holds:
            broken.append(words)

    for place, board in enumerate(boards, start=1):
        if place in without:
            rule(all(step.board != place for step, *_ in made.steps), f"something of board {place} is made")
            continue
        _wood(made, place, around, rule)
        _panels(made, place, adhesive, rule)
        for copy in range(1, board.copies + 1):
            _glued(made, place, copy, board, adhesive, rule)
            _finished(made, place, copy, adhesive, finish, around, rule)
    _things(made, glue, shop, boards, rule)
    _hands(made, glue, shop, rule)
    return broken


def _wood(made, place, around, rule):
    kinds = ["wood", "settle", "rough", "rip", "gauge", "cut"]
    stages = [made.of(kind, place) for kind in kinds]
    stages = [stage for stage in stages if stage]
    for before, after in pairwise(stages):
        over = max(end for *_, end in before)
        rest = around.rest_days * 1440 if before[0][0].kind == "rough" else 0
        for step, start, *_ in after:
            rule(start >= over + rest, f"{step.words} before {before[0][0].words} is over")
    rule(bool(made.of("wood", place)) != (around.in_hand or not around.buying_days), "buying is in or out")


def _glued(made, place, copy, board, adhesive, rule):
    of = partial(made.of, board=place, copy=copy)
    for step, start, left, _ in of("row"):
        rule(left - start <= adhesive.assembly + made.slot, f"{step.words} takes longer to load than glue allows")
        rule(step.attended <= adhesive.assembly, f"{step.words} takes longer to load than glue allows")
        for kind in ("cut", "sort"):
            # Lots hold the rows of all copies, those of the first copy first; a row too long for a lot is in several.
            lots = [end for lot, _, _, end in of(kind) for number in lot.rows if number == step.rows[0]]
            rule(len(lots) >= board.copies, f"{step.words} is in no lot")
            over = lots[copy - 1] if len(lots) == board.copies else max(lots)
            rule(start >= over, f"{step.words} before its lot is through: {kind}")
    dressed = {}
    for step, start, _, end in of("dress"):
        for number in step.rows:
            dressed[number] = end
            for row, _, _, out in of("row"):
                if number in row.rows:
                    rule(start >= out + adhesive.machining, f"{step.words} before row {number} has cured")
    if len(board.rows) > 1:
        rule(sorted(dressed) == [row.number for row in board.rows], "a row is not dressed")
    for step, start, _, _ in of("join"):
        rule(step.attended <= adhesive.assembly, f"{step.words} takes longer than glue allows")
        for number in step.rows:
            rule(start >= dressed[number], f"{step.words} before row {number} is dressed")
    joined = max((end for *_, end in of("join")), default=0)
    for step, start, *_ in of("true"):
        # Of halves, each is trued after its own joins.
        if len(of("true")) == 1:
            rule(start >= joined + adhesive.machining, f"{step.words} before the field has cured")
    for step, start, *_ in of("border"):
        rule(start >= min(end for *_, end in of("true")), f"{step.words} before edges are true")
        rule(sum(share for op, share in step.minutes if op == "strip") <= adhesive.assembly, "borders in time")
    halves = of("halves")
    flattened = max(end for *_, end in of("flatten"))
    rule(min(start for _, start, *_ in of("size")) >= flattened, "cut to size before it is flat")
    if halves:
        rule(max(start for _, start, *_ in halves) >= flattened, "parts are joined before all are flat")
        rule(
            min(start for _, start, *_ in of("size")) >= max(end for *_, end in halves) + adhesive.machining,
            "cut to size before the parts' joint has cured",
        )
    else:
        pressed = max([end for *_, end in of("border")], default=joined)
        rule(min(start for _, start, *_ in of("flatten")) >= pressed + adhesive.machining, "flattened before cured")
    glued = max((end for kind in ("row", "join", "border", "halves") for *_, end in of(kind)), default=0)
    rule(min(start for _, start, *_ in of("sand")) >= glued + adhesive.sanding, "sanded before glue lines have sunk")
    rule(min(start for _, start, *_ in of("sand")) >= max(end for *_, end in of("size")), "sanded before cut to size")


def _panels(made, place, adhesive, rule):
    """Panels of all copies: cured before they are flattened, all flat before they are sliced, sliced before dressed."""
    of = partial(made.of, board=place)
    for step, start, *_ in of("even"):
        said = step.words.removeprefix("Flatten ").split(", lot")[0]
        glued = [end for panel, _, _, end in of("panel") if panel.words.endswith(f" {said}")]
        # A panel of one strip is not glued.
        rule(not glued or start >= max(glued) + adhesive.machining, f"{step.words} before it has cured")
    slices = of("slice")
    if slices:
        rule(
            max(start for _, start, *_ in slices) >= max((end for *_, end in of("even")), default=0),
            "sliced before flat",
        )
        for step, start, *_ in made.steps:
            if step.board == place and step.kind == "dress":
                rule(start >= min(end for *_, end in slices), f"{step.words} before it is sliced")


def _finished(made, place, copy, adhesive, finish, around, rule):
    of = partial(made.of, board=place, copy=copy)
    rule(len(of("raise")) == finish.raisings, "the grain is raised so many times")
    for step, _, left, _ in of("raise"):
        later = [one for one in of("sand") if one[1] >= left]
        rule(bool(later), f"{step.words}, and nothing is sanded after it")
        rule(all(one[1] >= left + finish.raised_dries for one in later), "sanded before it is dry")
    coats, wipes = of("coat"), of("wipe")
    rule(len(coats) == len(wipes), "every coat is wiped")
    if coats:
        rule(min(start for _, start, *_ in coats) >= max(end for *_, end in of("sand")), "finished before sanded")
    wiped = {step.key.replace("/wipe/", "/coat/"): (start, end) for step, start, end, _ in wipes}
    for step, _, left, _ in coats:
        start, _ = wiped[step.key]
        rule(left + finish.soak <= start <= left + finish.wipe_within, f"{step.words}: wiped too soon or too late")
    by_coat = {}
    for step, start, _, _ in coats:
        number = int(step.key.split("/coat/")[1].split("/")[0])
        begun, over = by_coat.get(number, (start, 0))
        by_coat[number] = (min(begun, start), max(over, wiped[step.key][1]))
    for number in range(2, len(by_coat) + 1):
        rule(by_coat[number][0] >= by_coat[number - 1][1] + finish.recoat, f"coat {number} too soon")
    cured = max((end + (finish.cure or 0) for _, end in by_coat.values()), default=0)
    for kind in ("photo", "pack", "carrier"):
        for step, start, *_ in of(kind):
            rule(start >= cured, f"{step.words} before the finish has cured")
    for one, other in (("photo", "pack"), ("pack", "carrier")):
        for step, start, *_ in of(other):
            rule(start >= max((end for *_, end in of(one)), default=0), f"{step.words} too soon")
    for step, start, _, end in of("carrier"):
        rule(end - start == around.carrier_days * 1440, f"{step.words}: days")


def _things(made, glue, shop, boards, rule):
    """No more rows in jigs than there are jigs, no more clamps on than there are: counted anew, slot by slot."""
    rows, clamps, benches = Counter(), Counter(), Counter()
    for step, start, _, end in made.steps:
        board = boards[step.board - 1]
        for minute in range(start, end, made.slot):
            if step.kind == "row":
                rows[minute] += 1
                clamps[minute] += shop.row_clamps
            if step.kind in ("join", "border", "halves"):
                clamps[minute] += max(2, ceil(board.blank_length / shop.clamp_every))
            if step.kind in ("join", "border", "halves", "coat"):
                benches[minute] += 1
    rule(max(rows.values(), default=0) <= sum(jig.count for jig in shop.jigs), "a jig holds two rows")
    rule(max(clamps.values(), default=0) <= sum(kind.count for kind in shop.clamps), "more clamps than there are")
    rule(max(benches.values(), default=0) <= shop.bench_places, "more on the bench than it holds")


def _hands(made, glue, shop, rule):
    """Nobody works outside the hours there are, and no more do at once than there are."""
    open_at = {
        minute
        for opens, closes in glue.work.sessions
        for minute in range(opens * made.slot, closes * made.slot, made.slot)
    }
    hands = Counter()
    for step, start, left, _ in made.steps:
        worked = range(start, left, made.slot)
        hands.update(worked)
        rule(open_at.issuperset(worked), f"{step.words} while nobody is there")
    rule(max(hands.values(), default=0) <= shop.people, "more hands than there are")
