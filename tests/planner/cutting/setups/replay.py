"""Does what set-ups say, blade by blade, on boards that are so long and so wide, and looks at what lies there then.

This reads the plan's own words for nothing: pieces come from the cuts alone, and are held against the plan after.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field

from planner.cutting.plan import CutFile
from planner.cutting.setups import SetUp, SetUps
from planner.measures import ZERO, Length
from planner.shop import Shop


@dataclass
class Wood:
    """A piece as it lies there now."""

    wood: str
    length: Length
    width: Length
    thickness: Length = ZERO
    edge: bool = False
    snipe: bool = False


@dataclass
class Bench:
    """What there is, under its chalked name, and the parts that fell off so far by wood, strip's section and length."""

    pieces: dict[str, Wood]
    parts: Counter[tuple[str, Length, Length, Length]] = field(default_factory=Counter)
    # Everything held or fed on a machine: (kind, how much).
    held: list[tuple[str, Length]] = field(default_factory=list)


def replay(ups: SetUps, file: CutFile, unit: Length, shop: Shop) -> Bench:
    """Follow every step; asserts that what is cut is there, and that machines are fed nothing under the limits."""
    bench = Bench({b.name: Wood(b.wood, unit * b.length, unit * b.width) for b in file.job.stock})
    rules = file.job.rules
    kerf, rip = unit * rules.crosscut_kerf, unit * rules.rip_kerf
    for step in ups.steps:
        machine = not step.instead
        match step.kind:
            case "rough":
                _rough(step, bench, kerf, shop, machine)
            case "joint":
                for cut in step.cuts:
                    piece = bench.pieces[cut.piece]
                    piece.width = piece.width - unit * rules.edge_trim
                    piece.edge = True
                    _fed(bench, step, piece.length, shop.shortest_machined)
            case "resaw":
                _resaw(step, bench, shop)
            case "plane":
                for cut in step.cuts:
                    piece = bench.pieces[cut.piece]
                    piece.thickness = step.settings[0].exact if machine else cut.thickness
                    _fed(bench, step, piece.length, shop.shortest_machined)
                    assert not machine or piece.thickness >= shop.thinnest_planed
            case "rip":
                _rip(step, bench, rip, shop)
            case "gauge":
                for cut in step.cuts:
                    piece = bench.pieces[cut.piece]
                    assert cut.width <= piece.width
                    piece.width = step.settings[0].exact if machine else cut.width
                    _fed(bench, step, piece.length, shop.shortest_machined)
            case "square":
                for cut in step.cuts:
                    piece = bench.pieces[cut.piece]
                    assert not piece.snipe
                    piece.length = piece.length - step.settings[0].exact - kerf
                    piece.snipe = True
                    _fed(bench, step, piece.length, shop.grip)
            case "part":
                _part(step, bench, kerf, shop, bool(rules.grip or rules.snipe))
    return bench


def _fed(bench: Bench, step: SetUp, held: Length, least: Length) -> None:
    if not step.instead:
        assert held >= least, (step.kind, held, least)
        bench.held.append((step.kind, held))


def _rough(step: SetUp, bench: Bench, kerf: Length, shop: Shop, machine: bool) -> None:
    board = bench.pieces.pop(step.cuts[0].piece)
    end = None
    for cut in step.cuts:
        assert cut.begins is not None
        assert cut.begins >= (ZERO if end is None else end + kerf), "two rough lengths share a kerf's width"
        end = cut.begins + cut.length
        assert end <= board.length
        assert max(cut.length, board.length - end) >= shop.grip or not machine
        (name,) = cut.gives
        bench.pieces[name] = Wood(board.wood, cut.length, board.width)


def _resaw(step: SetUp, bench: Bench, shop: Shop) -> None:
    for cut in step.cuts:
        first, second = cut.gives
        piece = bench.pieces[cut.piece]
        assert piece.edge, "resawn before it was straight"
        assert step.instead or piece.width <= shop.tallest_resaw
        assert first == cut.piece
        bench.pieces[second] = Wood(piece.wood, piece.length, piece.width, edge=True)
        _fed(bench, step, piece.length, ZERO)


def _rip(step: SetUp, bench: Bench, kerf: Length, shop: Shop) -> None:
    for cut in step.cuts:
        piece = bench.pieces[cut.piece]
        assert piece.edge, "ripped before it was straight"
        assert piece.thickness, "ripped before it was planed"
        fence = cut.width if step.instead else step.settings[0].exact
        assert len(cut.gives) == cut.count
        for name in cut.gives:
            assert name not in bench.pieces, f"{name} is ripped twice"
            assert fence <= piece.width, f"{name} is wider than what is left"
            if not step.instead:
                assert shop.narrowest_strip <= fence
                assert piece.width >= shop.narrowest_strip
                assert piece.length >= shop.shortest_machined
                bench.held.append(("rip", piece.width))
            bench.pieces[name] = Wood(piece.wood, piece.length, fence, piece.thickness)
            piece.width = max(piece.width - fence - kerf, ZERO)


def _part(step: SetUp, bench: Bench, kerf: Length, shop: Shop, held_by_plan: bool) -> None:
    for cut in step.cuts:
        piece = bench.pieces[cut.piece]
        stop = cut.length if step.instead else step.settings[0].exact - step.settings[0].spacer
        for _ in range(cut.count):
            assert piece.length >= stop, f"{cut.piece} is used up"
            piece.length = piece.length - stop - kerf
            if not step.instead:
                assert max(piece.length, ZERO) >= shop.grip, f"{cut.piece} is held by {piece.length}"
                bench.held.append(("part", piece.length))
            bench.parts[piece.wood, piece.width, piece.thickness, stop] += 1
        # The last part may end the strip itself where nothing is to be held: then no kerf comes behind it.
        assert piece.length >= (ZERO if held_by_plan else -kerf)
