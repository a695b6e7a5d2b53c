"""A sound plan with every wish in it; then one rule after the other is broken, and the checker says which."""

from dataclasses import replace

import pytest

from planner.cutting.plan import (
    BoardCut,
    CutJob,
    CutPlan,
    Offcut,
    Part,
    RoughCut,
    Rules,
    StockBoard,
    StripCut,
    faults_of,
)

RULES = Rules(
    crosscut_kerf=3, rip_kerf=2, end_trim=10, edge_trim=5, grid=5, keep_length=30, keep_width=10, worth_area=100,
    shortest_rough=40, narrowest=6, thinnest=4, longest_rip=120,
)  # fmt: skip
JOB = CutJob(
    (
        Part("ash", 20, 10, 43, 2, "border", bound="row", pieces=(20, 20)),
        Part("ash", 20, 10, 50, 1, "rail", shade="dark"),
        Part("elm", 20, 6, 50, 2, "tile"),
    ),
    (
        StockBoard("A", "ash", 34, 200, 24, 100, 10, shade="dark", resawn=10, bad=((80, 82), (150, 160))),
        StockBoard("B", "ash", 34, 200, 24, 90, 10, shade="light"),
        StockBoard("E", "elm", 24, 80, 20, 40),
    ),
    RULES,
    (("elm", "edge"),),
)
# A: from 10, 70 long, resawn; the knot from 80 counts to 83, so what follows begins there.
LAYER = StripCut(20, ((43, 1),), (((20, 20), 1),))
FIRST = RoughCut(70, 10, (LAYER,), 10, True, (LAYER,))
SECOND = RoughCut(50, 10, (StripCut(20, ((50, 1),)),), 83)
KEPT = RoughCut(30, 0, (), 160)
ON_EDGE = RoughCut(50, 20, (StripCut(6, ((50, 1),)), StripCut(6, ((50, 1),))), 10)
PLAN = CutPlan(
    (BoardCut("A", (FIRST, SECOND, KEPT)), BoardCut("E", (ON_EDGE,))),
    (Offcut("A", 2, "end", 24, 30, 72),),
    140,
    72,
    on_edge=("elm",),
    bound_to=(("ash", "row", "A"),),
)


def with_rough(*rough):
    return replace(PLAN, boards=(BoardCut("A", rough), PLAN.boards[1]))


def with_elm(rough):
    return replace(PLAN, boards=(PLAN.boards[0], BoardCut("E", (rough,))))


def found(plan, job=JOB):
    return " ".join(faults_of(plan, job))


def test_the_plan_is_sound():
    assert faults_of(PLAN, JOB) == ()


@pytest.mark.parametrize(
    ("plan", "words"),
    [
        # Where rough lengths lie
        (with_rough(replace(FIRST, at=9), SECOND, KEPT), "begins at 9; nothing is left before 10"),
        (with_rough(FIRST, replace(SECOND, at=82), KEPT), "begins at 82; nothing is left before 83"),
        (with_rough(FIRST, replace(SECOND, at=82), KEPT), "touches what is bad from 80 to 83"),
        (with_rough(replace(FIRST, length=75), SECOND, KEPT), "from 10 to 85, touches what is bad from 80"),
        (with_rough(FIRST, SECOND, replace(KEPT, at=159)), "touches what is bad from 150 to 160"),
        (with_rough(FIRST, SECOND, replace(KEPT, length=31)), "ends at 191, beyond 190"),
        (with_rough(FIRST, replace(SECOND, at=101), KEPT), "touches what is bad from 150"),
        (with_rough(SECOND, FIRST, KEPT), "begins at 10; nothing is left before 136"),
        # Layers
        (with_rough(replace(FIRST, resawn=False), SECOND, KEPT), "has a second layer and is not resawn"),
        (with_rough(FIRST, SECOND, replace(KEPT, resawn=True)), "is resawn and not ripped"),
        (with_rough(FIRST, SECOND, replace(KEPT, under=FIRST.under)), "is resawn and not ripped"),
        (with_rough(replace(FIRST, under=(LAYER, LAYER)), SECOND, KEPT), "strip 3 ends"),
        # The maker's limits
        (with_rough(FIRST, replace(SECOND, length=35), KEPT), "35 long; nothing shorter than 40 is milled"),
        (with_elm(replace(ON_EDGE, strips=(StripCut(5, ((50, 2),)),))), "5 wide; nothing narrower than 6 is ripped"),
        (with_elm(replace(ON_EDGE, thickness=3)), "3 thick; nothing thinner than 4 is milled"),
        (with_elm(replace(ON_EDGE, length=125)), "125 long; no more than 120 is ripped"),
        # Ways
        (replace(PLAN, on_edge=()), "The strips of elm are ripped face up; they are to be turned on edge."),
        (replace(PLAN, on_edge=("elm", "ash")), "The strips of ash are turned on edge; they are to be ripped face up."),
        # Bound parts
        (replace(PLAN, bound_to=()), "does not name one board for all parts that are bound together"),
        (replace(PLAN, bound_to=PLAN.bound_to * 2), "does not name one board"),
        (replace(PLAN, bound_to=(("ash", "row", "B"),)), "bound together as row, 0 are cut from B; 2 are wanted"),
        (replace(PLAN, bound_to=(("ash", "row", "E"),)), "are to come from E, not of ash"),
        # Pieces side by side
        (with_rough(replace(FIRST, under=(replace(LAYER, pieces=()),)), SECOND, KEPT), "into 20 and 20, 1 are"),
        (with_rough(replace(FIRST, under=(replace(LAYER, pieces=(((20, 20), 2),)),)), SECOND, KEPT), "do not make up"),
        (with_rough(replace(FIRST, under=(replace(LAYER, pieces=(((20, 19), 1),)),)), SECOND, KEPT), "do not make up"),
        (with_rough(replace(FIRST, under=(replace(LAYER, pieces=(((43,), 1),)),)), SECOND, KEPT), "into no pieces"),
        # Money and offcuts
        (replace(PLAN, offcuts=(Offcut("A", 2, "edge", 24, 30, 72),)), "offcuts named are not those"),
        (replace(PLAN, credit=73), "The cost is 140 less 72, not 140 less 73"),
    ],
)  # fmt: skip
def test_a_broken_rule_is_found(plan, words):
    assert words in found(plan)


@pytest.mark.parametrize(
    ("board", "words"),
    [
        ({"resawn": 9}, "10 thick; a layer of the board yields 9"),
        ({"yields": 9}, "10 thick; the board yields 9"),
        ({"shade": "light"}, "0 are cut from boards of the shade dark; 1 are wanted"),
        ({"bad": ((20, 21),)}, "touches what is bad from 20 to 23"),
        ({"wood": "elm"}, "Of ash 20 by 10 by 50, 0 are cut; 1 are wanted"),
        ({"width": 29}, "ends 25 across, beyond 24"),
    ],
)
def test_a_board_that_does_not_give_it_is_found(board, words):
    job = replace(JOB, stock=(replace(JOB.stock[0], **board), *JOB.stock[1:]))
    assert words in found(PLAN, job)


def test_bound_parts_of_a_shade_come_from_a_board_of_it():
    job = replace(JOB, parts=(replace(JOB.parts[0], shade="light"), *JOB.parts[1:]))
    assert "ask for the shade light; A is not of it" in found(PLAN, job)


def test_bound_parts_are_not_counted_twice():
    # The one rail of the shade is also bound to A; another, of the shade and free, is wanted and is not there.
    rail = JOB.parts[1]
    job = replace(JOB, parts=(*JOB.parts, replace(rail, bound="row")))
    assert "0 are cut from boards of the shade dark; 1 are wanted" in found(PLAN, job)


def test_a_kept_layer_is_worth_half():
    # 24 wide, 70 long, at 10 // 2 for 100 square units = 84; beside the strip nothing is wide enough to keep.
    job = replace(JOB, parts=(replace(JOB.parts[0], count=1), *JOB.parts[1:]))
    plan = with_rough(replace(FIRST, under=()), SECOND, KEPT)
    layer = Offcut("A", 0, "layer", 24, 70, 84)
    assert faults_of(replace(plan, offcuts=(layer, *PLAN.offcuts), credit=156), job) == ()
    wrong = replace(layer, credit=168)
    assert "offcuts" in found(replace(plan, offcuts=(wrong, *PLAN.offcuts), credit=240), job)
