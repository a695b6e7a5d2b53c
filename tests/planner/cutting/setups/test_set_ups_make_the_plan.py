"""Followed cut by cut on the boards, the set-ups make exactly what the plan says, and machines are fed nothing below
the maker's limits on the way."""

from collections import Counter
from dataclasses import replace
from itertools import pairwise, permutations

import pytest

from planner.cutting.plan import CutFile, CutJob, CutPlanError, Part, StockBoard, faults_of, first_cut_plan, plan_cuts
from planner.cutting.setups import rough_name, set_ups, strip_name
from planner.hours import DEFAULT_TIMES
from planner.measures import ZERO
from tests.planner.cutting.plan.making import plausible
from tests.planner.cutting.setups.jobs import inch, shop_of, small, unit_in
from tests.planner.cutting.setups.replay import replay
from tests.support.cut_makers import realistic

# (where from, seed)
JOBS = [*(("plausible", seed) for seed in range(6)), *(("realistic", seed) for seed in (1, 7, 15, 20, 26))]

# With every wish, the stock of the fifth does not suffice on edge.
WISHED = (0, 1, 2, 3, 4, 6)


def job_of(source: str, seed: int, **rules: int) -> CutJob:
    job = plausible(seed) if source == "plausible" else realistic(seed)
    return replace(job, rules=replace(job.rules, **rules))


def file_of(job: CutJob) -> CutFile:
    file = CutFile(job, first_cut_plan(job), "1/64 in", "1/10000 dollar")
    assert faults_of(file.plan, job) == ()
    return file


def made_of(job: CutJob, unit):
    """Parts by wood, section and crosscut length; those in pieces taken apart."""
    wanted = Counter()
    for part in job.parts:
        for length in part.pieces or (part.length,):
            key = part.wood, unit * part.width, unit * part.thickness, unit * (length + job.rules.over_length)
            wanted[key] += part.count
    return +wanted


def check(file: CutFile, **more):
    unit = unit_in(file)
    shop = shop_of(file.job.rules, unit, saw_scale=inch("1/64"), **more)
    ups = set_ups(file, shop, DEFAULT_TIMES)
    bench = replay(ups, file, unit, shop)
    made = Counter()
    for (wood, width, thickness, length), count in bench.parts.items():
        # What is turned on edge is milled to the parts' width.
        section = (thickness, width) if wood in file.plan.on_edge else (width, thickness)
        made[(wood, *section, length)] += count
    assert made == made_of(file.job, unit)
    check_strips(file, ups, bench, unit)
    check_once(file, ups)
    return ups


def check_strips(file, ups, bench, unit):
    """Every strip is ripped once, and what is left of it is what the plan leaves."""
    rules = file.job.rules
    head = rules.snipe + rules.crosscut_kerf if rules.snipe else 0
    named = {}
    for cut in file.plan.boards:
        for i, rough in enumerate(cut.rough, 1):
            for j, strip in enumerate((*rough.strips, *rough.under), 1):
                taken = sum((n + rules.over_length + rules.crosscut_kerf) * count for n, count in strip.parts)
                named[strip_name(cut.board, i, j)] = unit * (rough.length - head - taken)
            if not rough.strips:
                assert bench.pieces[rough_name(cut.board, i)].length == unit * rough.length
    ripped = Counter(name for step in ups.of("rip") for cut in step.cuts for name in cut.gives)
    assert ripped == dict.fromkeys(named, 1)
    assert {name: bench.pieces[name].length for name in named} == named


def check_once(file, ups):
    """Machine steps of one kind never come back to a setting, so every length is cut at one stop only."""
    for kind in ("plane", "rip", "gauge"):
        settings = [step.settings[0].exact for step in ups.of(kind) if not step.instead]
        assert len(settings) == len(set(settings))
    stops = [setting.exact for step in ups.of("part") if not step.instead for setting in step.settings]
    lengths = {cut.length for step in ups.of("part") if not step.instead for cut in step.cuts}
    assert len(stops) == len(set(stops)) == len(lengths)


@pytest.mark.parametrize(("source", "seed"), JOBS)
def test_the_set_ups_of_a_first_plan_make_its_parts_and_hold_every_piece(source, seed):
    job = job_of(source, seed)
    ups = check(file_of(job))
    assert not any(step.instead for step in ups.steps)


@pytest.mark.parametrize(("source", "seed"), JOBS[:8])
def test_snipe_oversizes_and_bundles_do_not_change_what_is_made(source, seed):
    job = job_of(source, seed, snipe=64, over_width=2, over_length=1)
    try:
        file = file_of(job)
    except CutPlanError:
        pytest.skip("with this snipe the stock does not suffice")
    check(file, hold_down=inch(5), stand_off=inch(1))


@pytest.mark.parametrize("seed", range(3))
def test_the_set_ups_of_a_searched_plan_make_its_parts_too(seed):
    job = job_of("plausible", seed, snipe=32, grip=128, over_width=1)
    plan = plan_cuts(job, steps=8)
    check(CutFile(job, plan, "1/64 in", "1/10000 dollar"))


def wished(seed: int, way: str) -> CutJob:
    """A job with every wish there is: every other board thick enough for two layers and light, bad wood in some,
    tiles bound to one board, light runs, pairs of border pieces, and strips turned on edge or either way."""
    job = job_of(
        "plausible", seed, snipe=16, over_width=1, over_length=1, narrowest=30, shortest_rough=200, thinnest=10
    )
    stock = tuple(
        replace(
            board,
            yields=132 if i % 2 else board.yields,
            resawn=60 if i % 2 else 0,
            bad=((1000, 1040),) if i % 3 == 0 else (),
            shade="light" if i % 2 else "dark",
        )
        for i, board in enumerate(job.stock)
    )
    parts = []
    for part in job.parts:
        bound = "tile" if part.name == "tile" and seed % 3 == 1 else ""
        shade = "light" if part.name == "run" and seed % 2 else ""
        parts.append(replace(part, bound=bound, shade=shade))
    pair = parts[0]
    length = 200 + 130 + job.rules.crosscut_kerf + job.rules.over_length
    parts.append(Part(pair.wood, pair.width, pair.thickness, length, 6, "borders of a row", pieces=(200, 130)))
    ways = tuple((wood, way) for wood in sorted({part.wood for part in parts}) if way)
    return replace(job, parts=tuple(parts), stock=stock, ways=ways)


@pytest.mark.parametrize("way", ["", "edge", "either"])
@pytest.mark.parametrize("seed", WISHED)
def test_with_every_wish_the_set_ups_still_make_the_plan(seed, way):
    check(file_of(wished(seed, way)))


def test_among_those_are_plans_with_layers_turned_strips_and_bound_parts():
    plans = [first_cut_plan(wished(seed, way)) for seed in WISHED for way in ("", "edge")]
    assert any(rough.resawn for plan in plans for cut in plan.boards for rough in cut.rough)
    assert any(plan.on_edge for plan in plans)
    assert any(plan.bound_to for plan in plans)
    assert any(strip.pieces for plan in plans for c in plan.boards for r in c.rough for strip in r.strips)


@pytest.mark.parametrize("seed", range(4))
def test_a_shop_that_became_more_careful_keeps_cuts_from_its_machines_and_still_gets_every_part(seed):
    job = job_of("plausible", seed, snipe=32)
    file = file_of(job)
    unit = unit_in(file)
    longest = max(rough.length for cut in file.plan.boards for rough in cut.rough if rough.strips)
    shop = replace(
        shop_of(job.rules, unit),
        grip=unit * (job.rules.grip + 96),
        shortest_machined=unit * (longest - 1),
        narrowest_strip=unit * 40,
        thinnest_planed=unit * 44,
    )
    ups = set_ups(file, shop, DEFAULT_TIMES)
    # The replay itself looks that no machine is fed below these limits.
    bench = replay(ups, file, unit, shop)
    assert sum(bench.parts.values()) == sum(part.count for part in job.parts)
    by_hand = [step for step in ups.steps if step.instead]
    assert by_hand
    assert all("Instead:" in step.instead and "manual" in step.instead and not step.settings for step in by_hand)


def test_fence_and_stop_move_as_far_as_is_told():
    ups = check(file_of(job_of("realistic", 15)))
    for kind, told in (("rip", ups.fence_travel), ("part", ups.stop_travel)):
        at = [step.settings[0].set_to for step in ups.of(kind) if not step.instead]
        moved = sum((max(b - a, a - b) for a, b in pairwise(at)), ZERO)
        assert told.value == moved == max(at) - min(at)


def several_widths(seed: int) -> CutJob:
    job = job_of("plausible", seed, snipe=16, over_width=1)
    wood, thickness = job.parts[0].wood, job.parts[0].thickness
    more = [Part(wood, width, thickness, 200 + width, 3, "border") for width in (44, 72, 88, 104)]
    return replace(job, parts=(*job.parts, *more))


@pytest.mark.parametrize("seed", range(5))
def test_no_other_order_of_the_fence_moves_it_less_or_feeds_wider_pieces(seed):
    """All orders of the plan's own widths, the rough lengths ripped down in each."""
    file = file_of(several_widths(seed))
    rules = file.job.rules
    ups = check(file)
    unit = unit_in(file)
    given = [int(step.settings[0].exact / unit) for step in ups.of("rip")]
    assert 4 <= len(given) <= 7
    wide = {board.name: board.width - rules.edge_trim for board in file.job.stock}
    blanks = [
        (wide[cut.board], [strip.width + rules.over_width for strip in rough.strips])
        for cut in file.plan.boards
        for rough in cut.rough
    ]

    def value(order):
        least = min(fed for across, widths in blanks if widths for fed in _fed(across, widths, order, rules.rip_kerf))
        return sum(abs(a - b) for a, b in pairwise(order)), -least

    best = min(value(order) for order in permutations(given))
    assert value(given) == best
    assert unit * -best[1] == min(step.held for step in ups.of("rip"))


def _fed(across, widths, order, kerf):
    for width in order:
        for _ in range(widths.count(width)):
            yield across
            across -= width + kerf


def test_bundles_never_reach_past_the_hold_down():
    file = small()
    unit = unit_in(file)
    for hold_down in range(0, 130, 10):
        shop = shop_of(file.job.rules, unit, hold_down=unit * 10 * hold_down)
        for step in set_ups(file, shop, DEFAULT_TIMES).of("part"):
            widest = max(cut.width for cut in step.cuts)
            assert step.bundle == 1 or widest * step.bundle <= shop.hold_down
            count = sum(cut.count for cut in step.cuts)
            assert -(-count // step.bundle) <= step.passes <= count


def test_an_inch_shops_fractions_stay_what_they_are():
    """3/8 in is 24/64, cut at a stop of 1 3/8 in, and nothing is rounded on a scale of 64ths."""
    job = CutJob(
        (Part("cherry", 24, 24, 24, 30, "tile"),),
        (StockBoard("C1", "cherry", 320, 1600, 40, 1000),),
        replace(plausible(0).rules, grip=256, snipe=0, end_trim=64, longest_rip=0, grid=16),
    )
    file = file_of(job)
    shop = shop_of(job.rules, unit_in(file), unit="in", stand_off=inch(1), saw_scale=inch("1/64"))
    (stop,) = set_ups(file, shop, DEFAULT_TIMES).of("part")
    assert stop.settings[0].exact == stop.settings[0].set_to == inch("11/8")
    assert {cut.length for cut in stop.cuts} == {inch("3/8")}
    assert "measure 3 3/4 in; move the stop by a tenth" in stop.notes[-1]
