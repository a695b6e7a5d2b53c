"""Cut files to set a saw up for, and the shop that goes with one's rules."""

from __future__ import annotations

from dataclasses import replace

from planner.cutting.fromshop import unit_of
from planner.cutting.plan import BoardCut, CutFile, CutJob, Part, RoughCut, Rules, StockBoard, StripCut
from planner.cutting.plan.worth import settle
from planner.measures import Length
from planner.shop import Shop

mm, inch = Length.of_mm, Length.of_inches


def shop_of(rules: Rules, size: Length, **more: object) -> Shop:
    """The shop whose limits the rules were made from; ``size`` is what one unit is."""
    shop = Shop(
        grip=size * rules.grip,
        shortest_machined=size * rules.shortest_rough,
        narrowest_strip=size * rules.narrowest,
        thinnest_planed=size * rules.thinnest,
        longest_rip=size * rules.longest_rip,
    )
    return replace(shop, **more)


def small() -> CutFile:
    """Reckoned by hand, in tenths of a millimetre: one board, two rough lengths and an offcut, two widths of strip
    and three lengths of part. Sizes are invented."""
    rules = Rules(
        crosscut_kerf=30,
        rip_kerf=30,
        end_trim=250,
        edge_trim=30,
        snipe=250,
        grip=1000,
        longest_rip=12000,
        grid=50,
        keep_length=3050,
        keep_width=300,
        over_width=5,
        shortest_rough=3050,
        narrowest=100,
        thinnest=60,
    )
    parts = (
        Part("walnut", 203, 190, 199, 33, "tile"),
        Part("walnut", 203, 190, 1199, 2, "run of 6 tiles"),
        Part("walnut", 400, 190, 3000, 1, "top or bottom border"),
    )
    board = StockBoard("WAL1", "walnut", 1500, 20000, 220, 400_000, 1)
    rough = (
        RoughCut(
            6000,
            190,
            (StripCut(400, ((3000, 1),)), StripCut(203, ((1199, 2), (199, 8))), StripCut(203, ((199, 15),))),
            250,
        ),
        RoughCut(5000, 190, (StripCut(203, ((199, 10),)),), 6280),
        RoughCut(8440, 0, (), 11310),
    )
    return planned(CutJob(parts, (board,), rules), (BoardCut("WAL1", rough),), "1/10 mm")


def planned(job: CutJob, boards: tuple[BoardCut, ...], unit: str, **more: object) -> CutFile:
    """The file of a plan laid by hand."""
    plan = settle(boards, {board.name: board for board in job.stock}, job.rules)
    return CutFile(job, replace(plan, **more), unit, "1/10000 of the shop's currency")


def unit_in(file: CutFile) -> Length:
    return unit_of(file.unit)
