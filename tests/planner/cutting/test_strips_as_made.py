"""Parts that come out longer take from the end of the strip that is held: which then keep too little, by hand."""

from __future__ import annotations

from dataclasses import replace

from planner.build import Stage
from planner.cutting.asmade import AsMade, PartMade
from planner.cutting.plan import BoardCut, CutFile, RoughCut, StripCut
from planner.cutting.stripsmade import strips_short
from planner.figures import Figure
from planner.measures import Length
from tests.planner.cutting.setups.jobs import small

mm = Length.of_mm
NONE = Figure(mm(0), "mm", "not looked at")


def made(*parts: tuple[str, str, str], wood: str = "walnut") -> AsMade:
    """Parts that were to be so long and are so long now."""
    told = tuple(
        PartMade(n, kind, wood, 1, 1, mm(was), (Stage("crosscut", mm(now), mm(19), mm(19)),), mm(0), mm(0))
        for n, (kind, was, now) in enumerate(parts)
    )
    return AsMade(*[NONE] * 8, told)


def shorter(file: CutFile, length: int) -> CutFile:
    """The same with a first rough length of another length; strips stay."""
    board = file.plan.boards[0]
    first = replace(board.rough[0], length=length)
    return with_rough(file, (first, *board.rough[1:]))


def with_rough(file: CutFile, rough: tuple[RoughCut, ...]) -> CutFile:
    return replace(file, plan=replace(file.plan, boards=(BoardCut("WAL1", rough),)))


# Of a first rough length of 557.5 mm strip 2 keeps 557.5 - 28 - 2 x 122.9 - 8 x 22.9 = 100.5, grip is 100.
TIGHT = shorter(small(), 5575)
LONGER = made(("tile", "19.9", "20"), ("run", "119.9", "120.5"))


def test_a_strip_that_kept_half_a_millimetre_more_than_the_grip_gives_a_part_fewer():
    """8 x 0.1 + 2 x 0.6 = 2 mm more are cut of it: 98.5 stay; a tile and its kerf are 22.9."""
    (short,) = strips_short(TIGHT, LONGER)
    assert (short.name, short.left, short.fewer) == ("WAL1-1.2", mm("98.5"), 1)


def test_strips_with_room_and_parts_that_come_out_shorter_are_not_told():
    assert strips_short(small(), LONGER) == ()
    assert strips_short(TIGHT, made(("tile", "19.9", "19.8"), ("run", "119.9", "119.3"))) == ()


def test_parts_of_another_wood_or_length_take_nothing_from_it():
    assert strips_short(TIGHT, made(("tile", "19.9", "20"), ("run", "119.9", "120.5"), wood="padauk")) == ()
    assert strips_short(TIGHT, made(("tile", "21", "21.1"))) == ()


def test_what_kept_less_than_the_grip_before_is_left_to_its_set_up():
    assert strips_short(shorter(small(), 5569), LONGER) == ()


def test_where_much_is_missing_more_parts_stay_uncut():
    """8 tiles each 2 mm longer, and 2 runs 12: 40 mm. 60.5 stay, 39.5 are missing, two tiles with their kerfs 45.8."""
    (short,) = strips_short(TIGHT, made(("tile", "19.9", "21.9"), ("run", "119.9", "131.9")))
    assert (short.left, short.fewer) == (mm("60.5"), 2)


def test_borders_cut_apart_count_each_by_itself():
    """A pair of 199 and 1199, a kerf of 30 between: 0.1 + 0.6 more, not a part of 142.8 nothing is known of."""
    pair = StripCut(203, ((1428, 2), (199, 1)), (((199, 1199), 2),))
    rough = RoughCut(1000 + 280 + 2 * 1458 + 229 + 10, 190, (pair,), 250)
    (short,) = strips_short(with_rough(small(), (rough,)), LONGER)
    assert short.left == mm(101) - mm("1.5")


def test_a_stop_left_at_the_mark_beyond_takes_more_and_one_before_it_no_less():
    """Tiles of 20 cut at a mark 0.2 beyond: 8 x 0.3 + 2 x 0.6 = 3.6 are missing of 100.5."""
    tile, run = LONGER.parts
    (short,) = strips_short(TIGHT, replace(LONGER, parts=(replace(tile, stop=mm(45), set_to=mm("45.2")), run)))
    assert short.left == mm("96.9")
    (short,) = strips_short(TIGHT, replace(LONGER, parts=(replace(tile, stop=mm(45), set_to=mm("44.8")), run)))
    assert short.left == mm("98.5")
