"""Real boards compared: each way as its own reckoning tells it, panels as cut by hand, and the least recommended."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from math import ceil

import numpy as np
import pytest

from planner.build import METHODS, longest_strip
from planner.cutting import spares
from planner.errors import PlannerError
from planner.measures import Length
from planner.methods import COPIES, WAYS, Way, compare, to_json
from planner.methods.rows import weakest_of
from planner.pattern import Pattern
from planner.pricing import Terms
from planner.reckoning import reckon, reckon_wood
from planner.shop import Shop, StockSize
from tests.planner.methods.boards import SHOP, chance, maker, mm, spec

SEEDS = range(12)


@pytest.mark.parametrize("way", [way for way in WAYS if way.method in METHODS], ids=lambda way: way.key)
def test_a_way_that_can_be_planned_is_told_as_its_own_reckoning_tells_it(way):
    who = maker()
    for seed in (1, 6):
        picture, asked = chance(seed), spec(quantity=3)
        told = compare(picture, asked, who).of(way)
        so = replace(asked if way.along == "rows" else asked.turned(), method=way.method)
        if told.refused:
            assert way.method == "deep" and "same as runs" in told.refused and not seed % 2
            continue
        alone = reckon(picture, so, who.shop, who.offers, who.times, who.rates, Terms())
        assert told.figures["hours"].value == alone.figures["hours"].value
        assert told.figures["wood"].value == reckon_wood(picture, so, who.shop, who.offers).value
        counts = alone.build.counts
        panels = alone.build.panels
        strips = sum(panel.count * len(panel.strips) for panel in panels)
        assert told.figures["pieces"].value == (strips or 3 * counts.pieces)
        assert told.figures["end_joints"].value == 3 * counts.joints_in_rows
        inside = sum(panel.joints for panel in panels)
        assert told.figures["long_joints"].value == 3 * (counts.row_joints + counts.border_strips) + inside
        assert told.weakest == weakest_of(alone.build)
        for copies, (hours, _) in told.at.items():
            again = reckon(picture, replace(so, quantity=copies), who.shop, who.offers, who.times, who.rates, Terms())
            assert hours == again.figures["hours"].value


def rows_as_laid(picture, asked):
    """Wood names cell by cell, background in the border's wood; the rows are the columns where they run upright."""
    cells = [[asked.border_wood if not n else picture.woods[n - 1] for n in row] for row in picture.rows]
    return [list(row) for row in zip(*cells[::-1], strict=True)] if asked.along == "columns" else cells


def test_the_weakest_seam_is_the_one_found_by_looking_down_every_line():
    for seed in SEEDS:
        picture = chance(seed)
        told = compare(picture, spec(), maker(), also=(), remedies=False)
        for way in (way for way in WAYS if way.method in ("tiles", "runs", "deep")):
            asked = spec() if way.along == "rows" else spec().turned()
            cells = rows_as_laid(picture, asked)
            none = [[not n for n in row] for row in (picture.turned() if way.along == "columns" else picture).rows]
            carried = []
            for c in range(1, len(cells[0])):
                if way.method == "tiles":
                    across = sum(all(row[: c + 1]) or all(row[c - 1 :]) for row in none)
                else:
                    across = sum(row[c - 1] == row[c] for row in cells)
                if across < len(cells):
                    carried.append(across * asked.pitch.mm + 2 * asked.end_border.mm)
            if told.of(way).refused:
                assert way.method == "deep" and not any(map(list.__eq__, cells, cells[1:]))
                continue
            weakest = told.of(way).weakest
            assert weakest.carried.mm == min(carried)
            assert weakest.of.mm == len(cells) * 20 + 2 * asked.end_border.mm


def by_hand(picture, asked, who, copies):
    """End grain up: rows with their borders, one panel after another sliced until it is too long."""
    shop, pitch = who.shop, asked.pitch.mm
    rows = []
    for cells in rows_as_laid(picture, asked):
        if asked.side_border:
            cells = [asked.border_wood, *cells, asked.border_wood]
        sizes = [pitch] * len(cells)
        if asked.side_border:
            sizes[0] = sizes[-1] = asked.side_border.mm
        # Both ends are left long.
        sizes[0] += shop.end_trim.mm
        sizes[-1] += shop.end_trim.mm
        pieces = []
        for wood, length in zip(cells, sizes, strict=True):
            if pieces and pieces[-1][0] == wood:
                pieces[-1] = (wood, pieces[-1][1] + length)
            else:
                pieces.append((wood, length))
        rows.append((tuple(pieces), pitch))
    room = who.offers["sycamore"].stock.thickness.mm - shop.milling.mm - shop.flattening.mm
    room -= 2 * shop.dressing.mm - shop.glue_line.mm
    deep = asked.end_border.mm + shop.edge_trim.mm
    long = sum(length for _, length in rows[0][0])
    plain = [(((asked.border_wood, long),), deep / ceil(deep / room))] * ceil(deep / room)
    rows = plain + rows + plain if asked.end_border else rows
    often = Counter((min(pieces, pieces[::-1]), high) for pieces, high in rows)
    found = Counter(row_joints=copies * (len(rows) - 1))
    each = asked.thickness.mm + shop.flattening.mm + shop.crosscut_kerf.mm
    for (pieces, _), times in often.items():
        strips = 0
        for wood, length in pieces:
            widest = who.offers[wood].stock.width.mm - shop.rough_edge_trim.mm
            strips += ceil(length / (widest - shop.gauge_allowance.mm - 2 * shop.dressing.mm))
        left = times * copies + spares(times * copies, shop.spoil_rate, shop.spare_confidence)
        found["slices"] += left
        while left > 0:
            length = shop.grip.mm + 2 * shop.rough_end_trim.mm
            while left > 0 and length + each <= longest_strip(shop).mm + 2 * shop.rough_end_trim.mm:
                length, left = length + each, left - 1
            found["strips"] += strips
            found["joints"] += strips - 1
            found["panels"] += strips > 1
            found["mm"] += strips * max(length, shop.shortest_machined.mm)
    return found


@pytest.mark.parametrize("along", ["rows", "columns"])
def test_panels_of_any_board_are_those_cut_by_hand(along):
    who = maker()
    for seed in SEEDS:
        picture = chance(seed, framed=bool(seed % 3))
        asked = spec(quantity=1 + seed % 4, side_border=mm(10 * (seed % 3)))
        told = compare(picture, asked, who, also=(), remedies=False).of(Way("panels", along)).figures
        so = asked if along == "rows" else asked.turned()
        found = by_hand(picture, so, who, asked.quantity)
        assert told["crosscuts"].value == found["slices"]
        assert told["strips"].value == told["pieces"].value == found["strips"]
        said = sum(mm(term.figure.rule.split(" mm")[0]).mm for term in told["strips"].terms)
        assert said == found["mm"]
        assert {term.name: term.figure.value for term in told["long_joints"].terms} == {
            "In panels": found["joints"],
            "Row to row": found["row_joints"],
        }
        assert told["end_joints"].value == 0
        assert told["glue_ups"].value == found["panels"]


def test_a_way_is_refused_exactly_where_its_own_reckoning_is():
    """Boards and shops of chance, many of them beyond what can be cut; and where both can, both tell the same."""
    refused = Counter()
    for seed in range(60):
        rng = np.random.default_rng(seed)

        def one_of(*sizes, rng=rng):
            return mm(int(rng.choice(sizes)))

        shop = Shop(
            longest_rip=one_of(250, 900, 1500, 1500, 1500),
            grip=one_of(40, 100, 250),
            narrowest_strip=one_of(8, 8, 18),
            thinnest_planed=one_of(6, 6, 15),
            shortest_machined=one_of(200, 305),
        )
        stock = StockSize(one_of(18, 27, 35, 52, 52), one_of(9, 160, 160, 160, 160, 160))
        asked = spec(
            pitch=one_of(3, 14, 20, 20, 20, 34),
            thickness=one_of(0, 4, 12, 18, 18, 18),
            side_border=one_of(0, 0, 0, 0, 9, 30),
            end_border=one_of(0, 22, 22, 40, 40),
            quantity=int(rng.integers(1, 4)),
            details=(("hanger",), ("mark",), (), (), ())[seed % 5],
        )
        who, picture = maker(shop, stock=stock), chance(seed, framed=bool(seed % 3))
        told = compare(picture, asked, who, also=(), remedies=False)
        for way in (way for way in WAYS if way.method in METHODS):
            so = replace(asked if way.along == "rows" else asked.turned(), method=way.method)
            made = told.of(way)
            try:
                hours = reckon(picture, so, shop, who.offers, who.times, who.rates, Terms()).figures["hours"].value
            except PlannerError:
                assert made.refused
                refused[way.method] += 1
                continue
            if "same as runs" not in made.refused:
                assert not made.refused and made.figures["hours"].value == hours, (seed, way, made.refused)
    assert all(10 < refused[method] < 110 for method in METHODS), refused


def test_equal_rows_rows_turned_end_for_end_and_every_copy_come_out_of_one_panel():
    picture = Pattern.of([["beech", "walnut-black", "sycamore"], ["sycamore", "walnut-black", "beech"]])
    asked, who = spec(side_border=mm(0), end_border=mm(0), quantity=2), maker(Shop(longest_rip=mm(900), spoil_rate=0))
    told = compare(picture, asked, who, also=()).of(Way("panels", "rows")).figures
    # Four slices of 18 + 1 mm and their kerfs beside 100 mm kept and 25 mm off either end: 238 mm, one panel of three.
    assert (told["glue_ups"].value, told["strips"].value, told["crosscuts"].value) == (1, 3, 4)


def test_slices_face_up_are_refused_and_say_why():
    for along in ("rows", "columns"):
        told = compare(chance(1), spec(), maker()).of(Way("slices", along))
        assert "end grain to end grain" in told.refused and not told.meets
        assert told.weakest.carried == Length.of_mm(0)
        assert told.figures["end_joints"].value > 0


def test_panels_thicker_than_the_stock_are_refused_by_name():
    told = compare(chance(1), spec(), maker(stock=StockSize(mm(23), mm(160)))).of(Way("panels", "rows"))
    assert "in the rough" in told.refused and not told.figures


def test_no_end_grain_panel_goes_under_a_thickness_planer():
    """What end grain costs more is told as work of its own."""
    hours = compare(chance(1), spec(), maker()).of(Way("panels", "rows")).figures["hours"]
    assert any("by router or sanding" in term.name for term in hours.terms)


def test_the_least_wood_and_hours_among_those_that_meet_the_limit_is_recommended():
    for seed in range(6):
        for least in (Fraction(0), Fraction(1, 3), Fraction(1, 2)):
            who = maker(replace(SHOP, least_carried=least))
            told = compare(chance(seed), spec(quantity=2), who, also=())
            meet = {}
            for made in told.ways:
                if made.refused or made.way.method not in METHODS:
                    continue
                money = made.figures["wood"].value + round(made.figures["hours"].value * 20 * 100) / Decimal(100)
                if made.weakest is None or (made.weakest.carried.mm and made.weakest.share >= least):
                    meet[made.way] = money
            choice = told.choice
            assert choice.meeting == len(meet)
            if not meet:
                assert not choice.best.meets
                continue
            first, *rest = sorted(meet.values())
            assert meet[choice.best.way] == choice.best.total == first
            if rest:
                assert choice.difference.value == rest[0] - first == meet[choice.runner_up.way] - first


def test_where_nothing_meets_the_limit_the_one_that_carries_most_is_named():
    picture = Pattern.of([["beech", "walnut-black"] * 2, ["walnut-black", "beech"] * 2] * 2)
    # Stock as thin as this gives no panels for rows of 20.
    who = maker(stock=StockSize(mm(24), mm(160)))
    told = compare(picture, spec(side_border=mm(0), end_border=mm(0)), who, also=())
    assert told.choice.meeting == 0 and told.choice.runner_up is None
    assert told.choice.best.way.method in METHODS and not told.choice.best.meets


def test_a_picture_of_background_is_refused_every_way():
    told = compare(Pattern.of([[None, None]]), spec(), maker())
    assert all("all background" in made.refused for made in told.ways)
    assert told.choice.best is None and told.paying == ()


def test_break_even_is_what_the_efforts_say_copy_by_copy():
    """Panels of a picture whose rows are all alike pay soon; the figure carries its sum."""
    row = ["beech", "walnut-black", "sycamore", "beech", "walnut-black"]
    picture = Pattern.of([row if n % 2 else row[::-1] for n in range(8)])
    told = compare(picture, spec(side_border=mm(0)), maker(), also=())
    best = told.choice.best
    for paying in told.paying:
        made = told.of(paying.way)
        quick = [n for n in range(1, 501) if made.effort.minutes(n) <= best.effort.minutes(n)]
        assert paying.pays.first == (quick[0] if quick else None)
        assert (paying.first is None) == (not quick)
        if paying.first is not None:
            assert paying.first.value == quick[0] and len(paying.first.terms) == 2


def test_the_effort_of_a_board_is_its_hours_where_nothing_is_spare_and_every_strip_is_full():
    """One wood in runs of one length: strips hold a whole number of them, so both count alike."""
    who = maker(replace(SHOP, spoil_rate=Fraction(0)))
    picture = Pattern.of([["beech", "walnut-black"] * 3] * 3)
    for way in (Way("tiles", "rows"), Way("panels", "rows")):
        told = compare(picture, spec(side_border=mm(0), end_border=mm(0)), who).of(way)
        for copies, (hours, _) in told.at.items():
            away = abs(told.effort.minutes(copies) - hours * 60)
            assert away <= (0 if way.method == "panels" else 4 * copies), (way, copies)


def test_its_json_form_is_plain_and_has_every_way():
    form = to_json(compare(chance(3), spec(quantity=2), maker()))
    assert [way["key"] for way in form["ways"]] == [way.key for way in WAYS]
    assert form["also"] == sorted({*COPIES, 2})
    assert all(set(way["at"]) == {"1", "2", "3", "5", "10"} for way in form["ways"] if not way["refused"])
