"""What cannot be made is named: the part, the limit in its way, and the least change that lets it be made. Each change
is tried as it is told, and one unit less of it is tried too, which must not do.
"""

import re
from dataclasses import replace

import pytest

from planner.cutting.plan import CutJob, CutPlanError, Part, Rules, StockBoard, first_cut_plan

RULES = Rules(
    crosscut_kerf=3, rip_kerf=2, end_trim=10, edge_trim=5, snipe=4, grip=20, longest_rip=300, grid=7, over_width=1,
    over_length=2, narrowest=8, thinnest=6, shortest_rough=56,
)  # fmt: skip
JOB = CutJob((Part("ash", 20, 15, 50, 1, "tile"),), (StockBoard("A", "ash", 60, 400, 20, 1000),), RULES)


def part(**change):
    return replace(JOB, parts=(replace(JOB.parts[0], **change),))


def board(job, **change):
    return replace(job, stock=(replace(job.stock[0], **change),))


def rules(job, **change):
    return replace(job, rules=replace(job.rules, **change))


def resized(side, by):
    """The job with the part's ``side`` changed by the number told: to it, or by it where ``by`` is -1."""

    def change(job, told):
        one = job.parts[0]
        return replace(job, parts=(replace(one, **{side: getattr(one, side) - told if by else told}),))

    return change


CASES = {
    "too thick": (part(thickness=25), "thicker than the 20u", r"Make it (\d+)u thick", resized("thickness", 0), 1),
    "no board so thick": (
        part(thickness=25), "thicker", r"a board that yields (\d+)u", lambda job, n: board(job, yields=n), -1,
    ),
    "too wide": (part(width=55), "wider than the 49u", r"Make it (\d+)u wide", resized("width", 0), 1),
    "no board so wide": (part(width=55), "wider", r"a board (\d+)u wide", lambda job, n: board(job, width=n), -1),
    "too long to rip": (
        part(length=290), "no more than 300u is ripped", r"Make it (\d+)u shorter", resized("length", -1), -1,
    ),
    "not ripped so long": (
        part(length=290), "no more than", r"rip lengths of (\d+)u", lambda job, n: rules(job, longest_rip=n), -1,
    ),
    "longer than every board": (
        rules(part(length=390), longest_rip=0), "gives 380u", r"Make it (\d+)u shorter", resized("length", -1), -1,
    ),
    "no board so long": (
        rules(part(length=390), longest_rip=0), "join it from two", r"a board (\d+)u long",
        lambda job, n: board(job, length=n), -1,
    ),
    "longer than what is clear": (
        board(part(length=150), bad=((150, 160), (300, 301))), "gives 140u once its ends are trimmed and what is bad",
        r"Make it (\d+)u shorter", resized("length", -1), -1,
    ),
    "too narrow to rip": (part(width=6), "nothing narrower than 8u is ripped", r"Make it (\d+)u wide",
        resized("width", 0), -1,
    ),
    "too thin to mill": (part(thickness=5), "nothing thinner than 6u is milled", r"Make it (\d+)u thick",
        resized("thickness", 0), -1,
    ),
    "boards too short to mill": (
        board(rules(part(), shortest_rough=95), length=110), "nothing shorter than 95u is milled",
        r"Buy a board (\d+)u long", lambda job, n: board(job, length=n), -1,
    ),
    "boards too short to mill, and for the part": (
        board(part(), length=70), "nothing shorter than 56u is milled", r"Buy a board (\d+)u long",
        lambda job, n: board(job, length=n), -1,
    ),
    "on edge, too wide to mill": (
        replace(part(width=25), ways=(("ash", "edge"),)), "on edge for wood milled to 25u", r"Make it (\d+)u wide",
        resized("width", 0), 1,
    ),
    "on edge, too thin to rip": (
        replace(part(thickness=6), ways=(("ash", "edge"),)), "a strip 7u wide", r"Make it (\d+)u thick",
        resized("thickness", 0), -1,
    ),
    "cut apart into other lengths": (
        part(pieces=(20, 20)), "cut apart into 20u and 20u, which make up 45u", r"Make it (\d+)u long",
        resized("length", 0), -1,
    ),
}  # fmt: skip


@pytest.mark.parametrize("case", CASES)
def test_the_least_change_that_is_told_does_and_one_less_does_not(case):
    job, words, told, change, further = CASES[case]
    with pytest.raises(CutPlanError) as error:
        first_cut_plan(job, says=lambda units: f"{units}u")
    assert words in str(error.value)
    assert error.value.what.startswith("The tile of ash, ")
    assert error.value.field in ("stock", "parts", *Rules.__dataclass_fields__)
    number = int(re.search(told, error.value.mend).group(1))
    first_cut_plan(change(job, number))
    with pytest.raises(CutPlanError):
        first_cut_plan(change(job, number + further))


def test_another_way_of_ripping_is_offered_where_it_was_not_tried():
    for job in (part(width=6), part(thickness=5)):
        with pytest.raises(CutPlanError, match="or turn its strips on edge"):
            first_cut_plan(job)
    with pytest.raises(CutPlanError) as error:
        first_cut_plan(replace(part(width=5, thickness=5), ways=(("ash", "either"),)))
    assert "on edge" not in error.value.mend


def test_a_grip_that_leaves_nothing_of_any_strip_is_what_is_named():
    job = rules(part(), grip=290, longest_rip=300)
    with pytest.raises(CutPlanError, match="of every strip 290 are held") as error:
        first_cut_plan(job)
    assert "shorter, or" not in error.value.mend
