"""Why no plan costs less, and how far a plan is from that, each in a sentence a maker can follow.

The sums behind the words are those of ``planner.cutting.plan.floor``; nothing is proved here.
"""

from __future__ import annotations

from collections.abc import Callable

from planner.cutting.plan.terms import SCALE, CutJob, CutPlan, Prices, WoodFloor

Money = Callable[[int], str]
_BOUND = " Parts that are all to come from one board are not minded by that, so a plan that does may have to cost more."


def floor_reason(floor: WoodFloor, job: CutJob, money: Money = str) -> str:
    """Why the parts of ``floor.wood`` cost no less than the floor. ``money`` puts money units into words.

    Where one set of prices proves it, the parts' worth by them is named and what all boards may give beyond their cost;
    where the plans were cut apart into cases, how many there are and what they are told apart by.
    """
    wood = floor.wood
    proofs = (floor.prices, *floor.other)
    leaves = [leaf for proof in proofs for leaf in proof.leaves]
    so = "so no plan from this rack under these rules"
    worth = _worth(floor.prices, job)
    if len(leaves) > 1:
        told = (
            f"Every plan for the {wood} is one of {len(leaves)} cases, told apart by {_apart(proofs)}; each has prices "
            "of its parts at which the boards it may open give too little for it to cost less than "
            f"{money(floor.floor)}, {so} does."
        )
    elif worth > floor.floor:
        told = (
            f"At these prices of a part the {wood} wanted is worth {money(worth)}, and all boards on the rack together "
            f"give parts and offcuts worth at most {money(worth - floor.floor)} more than they cost, {so} costs less "
            f"than {money(floor.floor)}."
        )
    else:
        told = (
            f"At these prices of a part no board of {wood} on the rack is worth more than it costs; the parts wanted "
            f"are worth {money(floor.floor)} by them, {so} costs less."
        )
    return told + (_BOUND if "bound" in floor.without else "")


def gap_reason(plan: CutPlan, money: Money = str) -> str:
    """How far the plan is from what no plan undercuts; for a first plan, that this is not known."""
    if not plan.floors:
        return "What no plan can undercut is not known yet."
    gap = plan.cost - plan.floor
    if gap <= 0:
        return "The plan costs just that: there is none cheaper."
    share = f", {_percent(gap, plan.floor)} of that" if plan.floor > 0 else ""
    return f"The plan costs {money(gap)} more{share}; if there is a cheaper one, it spares no more than this."


def _worth(prices: Prices, job: CutJob) -> int:
    """What all the parts wanted are worth at the prices of the only leaf, in money units rounded up as the floor is."""
    wanted: dict[tuple[int, int, int, str], int] = {}
    for part in job.parts:
        if part.wood == prices.wood:
            ripped = (part.thickness, part.width) if prices.way == "edge" else (part.width, part.thickness)
            key = (*ripped, part.length, part.shade)
            wanted[key] = wanted.get(key, 0) + part.count
    shades = prices.shades or ("",) * len(prices.sizes)
    keys = [(*size, shade) for size, shade in zip(prices.sizes, shades, strict=True)]
    return -(-sum(p * wanted.get(key, 0) for key, p in zip(keys, prices.leaves[0].prices, strict=True)) // SCALE)


def _apart(proofs: tuple[Prices, ...]) -> str:
    """What the leaves are told apart by, in words."""
    by = ["the way the strips are ripped"] if len(proofs) > 1 else []
    if any(len({(leaf.low, leaf.high) for leaf in proof.leaves}) > 1 for proof in proofs):
        by.append("how many boards of each kind are opened")
    words = {
        "rough": "rough lengths ripped",
        "strips": "strips ripped",
        "milled": "lengths milled to a thickness",
        "edges": "edges kept",
        "tails": "strips' ends kept",
        "resawn": "lengths resawn",
    }
    named = {one.what for proof in proofs for one in proof.counted}
    by += [f"the number of {text}" for what, text in words.items() if what in named]
    return f"{', '.join(by[:-1])} and {by[-1]}" if len(by) > 1 else "".join(by) or "what they cut"


def _percent(part: int, whole: int) -> str:
    """Tenths of a percent, rounded up, so that a gap is never said to be less than it is."""
    tenths = -(-part * 1000 // whole)
    return f"{tenths // 10}.{tenths % 10} %"
