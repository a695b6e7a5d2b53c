"""Reads cutting instances written elsewhere: lengths in 1/64 in, money in 1/10000 of a dollar, prices by board foot.

Their words are other ones: blank is rough length, stick is strip, species is wood, cls the quarters of a board.
"""

from __future__ import annotations

from typing import Any

from planner.cutting.plan import BoardCut, CutJob, CutPlan, Part, RoughCut, Rules, StockBoard, StripCut
from planner.cutting.plan.clear import end_to_end
from planner.cutting.plan.worth import settle

BOARD_FOOT = 64 * 64 * 4 * 144  # of width x length x quarters


def job_of(instance: dict[str, Any]) -> CutJob:
    """The job of an instance. An offcut is worth a share of the wood's value, which is the same for all its boards."""
    saw, keep, value = instance["saw"], instance["keep"], instance["value"]
    parts = tuple(Part(d["species"], d["w"], d["t"], d["l"], d["qty"], d["role"]) for d in instance["demand"])
    stock = tuple(
        StockBoard(
            b["id"],
            b["species"],
            b["W"],
            b["L"],
            saw["finish"][str(b["cls"])],
            (b["price"] * b["W"] * b["L"] * b["cls"] + BOARD_FOOT // 2) // BOARD_FOOT,
            keep["rate_pct"] * value[b["species"]] * b["cls"],
        )
        for b in instance["stock"]
    )
    rules = Rules(
        crosscut_kerf=saw["cross_kerf"],
        rip_kerf=saw["rip_kerf"],
        end_trim=saw["end_trim"],
        edge_trim=saw["edge_trim"],
        grip=saw["grip"],
        longest_rip=saw["max_rip"],
        grid=saw["blank_grid"],
        keep_length=keep["min_len"],
        keep_width=keep["min_w"],
        worth_area=100 * BOARD_FOOT,
    )
    return CutJob(parts, stock, rules)


def plan_of(boards: list[dict[str, Any]], job: CutJob) -> CutPlan:
    """A plan written with an instance, summed by this house's rules."""
    cuts = [
        end_to_end(
            BoardCut(
                board["id"],
                tuple(
                    RoughCut(
                        blank["len"],
                        blank["t"] if blank["sticks"] else 0,
                        tuple(
                            StripCut(stick["w"], tuple((int(length), n) for length, n in stick["pieces"].items()))
                            for stick in blank["sticks"]
                        ),
                    )
                    for blank in board["blanks"]
                ),
            ),
            job.rules,
        )
        for board in boards
    ]
    return settle(cuts, {board.name: board for board in job.stock}, job.rules)
