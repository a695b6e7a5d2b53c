"""Nothing is offered below the maker's safe limits; what to do instead is said, with the pieces and the limit named."""

from dataclasses import replace

import pytest

from planner.cutting.plan import BoardCut, CutJob, Part, RoughCut, StockBoard, StripCut
from planner.cutting.setups import SetUpError, from_record, set_ups, to_record
from planner.hours import DEFAULT_TIMES
from tests.planner.cutting.setups.jobs import inch, mm, planned, shop_of, small, unit_in

FILE = small()
SHOP = shop_of(FILE.job.rules, unit_in(FILE))


def instead(kind, **limits):
    """What is said of a kind of step in a shop with other limits, and the steps its machine still takes."""
    steps = set_ups(FILE, replace(SHOP, **limits), DEFAULT_TIMES).of(kind)
    return [step.instead for step in steps if step.instead], [step for step in steps if not step.instead]


def test_at_the_limit_itself_everything_goes_to_the_machine():
    at = {"shortest_machined": mm(500), "narrowest_strip": mm("20.8"), "thinnest_planed": mm(19), "grip": mm(100)}
    at |= {"longest_rip": mm(600), "tallest_cut": mm(19)}
    steps = set_ups(FILE, replace(SHOP, **at), DEFAULT_TIMES).steps
    assert not [step for step in steps if step.instead]


@pytest.mark.parametrize("kind", ["joint", "plane"])
def test_a_short_rough_length_is_milled_together_with_its_neighbour(kind):
    ((words,), machine) = instead(kind, shortest_machined=mm("500.1"))
    assert words.startswith("WAL1-2: 500 mm is shorter than the 500.1 mm this shop feeds to jointer and planer.")
    # 600 and 500 with a kerf of 3.
    assert "leave WAL1-1 and WAL1-2 (1103 mm) in one piece until they are planed" in words
    assert "carrier board" in words
    assert "manual" in words
    assert [cut.piece for step in machine for cut in step.cuts] == ["WAL1-1"]


def test_where_even_two_together_are_too_short_only_the_carrier_is_offered():
    ((words, _), _) = instead("joint", shortest_machined=mm(1200))
    assert "in one piece" not in words
    assert "carrier board" in words


def test_a_short_length_is_not_ripped_either():
    ((words,), machine) = instead("rip", shortest_machined=mm(501))
    assert words.startswith("WAL1-2.1: 500 mm is shorter than the 501 mm this shop feeds to a machine.")
    assert "hand saw" in words
    assert sum(cut.count for step in machine for cut in step.cuts) == 3


def test_a_shop_in_inches_reads_what_is_less_or_more_than_a_limit_in_64ths_that_are_so_too():
    # 500 mm are 19.685 in, 19 43/64 and a little; 600 mm are 23.622 in, a little less than 23 5/8.
    ((short,), _) = instead("rip", unit="in", shortest_machined=inch(20))
    assert "19 43/64 in is shorter than the 20 in" in short
    ((long,), _) = instead("rip", unit="in", longest_rip=inch(23))
    assert "23 5/8 in is longer than the 23 in" in long


def test_a_narrow_strip_is_not_ripped_between_blade_and_fence():
    ((words,), (wide,)) = instead("rip", narrowest_strip=mm(21))
    assert "a strip 20.8 mm wide is narrower than the 21 mm this shop rips" in words
    assert "wider pitch" in words
    assert wide.settings[0].exact == mm("40.5")


def test_a_long_or_thick_one_is_not_ripped():
    ((words,), _) = instead("rip", longest_rip=mm(599))
    assert "600 mm is longer than the 599 mm this shop rips" in words
    ((words,), machine) = instead("rip", tallest_cut=mm("18.9"))
    assert "19 mm thick, it is more than the 18.9 mm the blade cuts through" in words
    assert not machine


def test_thin_stock_is_not_planed_and_thin_or_short_strips_are_not_gauged():
    ((words,), machine) = instead("plane", thinnest_planed=mm("19.1"))
    assert "19 mm is thinner than the 19.1 mm this shop planes" in words
    assert not machine
    ((words,), _) = instead("gauge", thinnest_planed=mm(21))
    assert words.startswith("WAL1-1.2, WAL1-1.3 and WAL1-2.1: 20.3 mm is thinner")
    ((words,), _) = instead("gauge", shortest_machined=mm(501))
    assert words.startswith("WAL1-2.1: 500 mm is shorter")


def test_what_would_leave_less_than_the_grip_is_not_cut_on_the_sled():
    """Strip 2 comes down to 143 after eight tiles, so with a grip of 150 its last tile is not cut there."""
    ((words,), (border, run, tile)) = instead("part", grip=mm(150))
    assert words.startswith("WAL1-1.2: as little as 143 mm of a strip would be left under the hold-down, less than")
    assert "mitre box" in words
    assert "carrier strip" in words
    assert [(cut.piece, cut.count) for cut in tile.cuts] == [("WAL1-1.2", 7), ("WAL1-1.3", 15), ("WAL1-2.1", 10)]
    assert tile.held == mm("165.9")
    assert not (border.instead or run.instead)


def test_what_is_done_another_way_keeps_its_spares_and_its_count():
    shop = replace(SHOP, grip=mm(150))
    steps = set_ups(FILE, shop, DEFAULT_TIMES, spares=(3, 0, 0)).of("part")
    assert sum(cut.count for step in steps for cut in step.cuts if cut.what == "tile") == 33
    # The last that are cut: the one by hand, and two of the strip before it.
    assert [(cut.piece, cut.spares) for step in steps for cut in step.cuts if cut.spares] == [
        ("WAL1-2.1", 2),
        ("WAL1-1.2", 1),
    ]


def test_a_shop_without_a_spacer_is_told_to_swing_the_stop_away():
    (*_, tile) = set_ups(FILE, replace(SHOP, stand_off=mm(0)), DEFAULT_TIMES).of("part")
    assert tile.settings[0].exact == mm("19.9")
    assert "swing the stop away before the cut" in tile.notes[0]


def test_a_stop_is_not_left_at_a_longer_mark_where_the_strip_has_nothing_to_spare():
    """One strip without a hair's breadth beyond its grip: 10 tiles of 19.9, a kerf behind each, 28 before, 100 held."""
    rules = replace(FILE.job.rules, grid=1)
    job = CutJob((Part("walnut", 203, 190, 199, 10, "tile"),), (StockBoard("W", "walnut", 500, 5000, 220, 10),), rules)
    rough = RoughCut(280 + 10 * 229 + 1000, 190, (StripCut(203, ((199, 10),)),), 250)
    shop = replace(SHOP, shortest_machined=mm(300))
    (stop,) = set_ups(planned(job, (BoardCut("W", (rough,)),), "1/10 mm"), shop, DEFAULT_TIMES).of("part")
    assert (stop.settings[0].exact, stop.settings[0].set_to) == (mm("44.9"), mm("44.9"))
    assert "take from the grip. Set 44.9 mm by test cuts." in stop.notes[1]


def test_a_fence_is_not_rounded_up_where_the_rough_length_has_nothing_to_spare():
    """Two strips of 20.8 and a kerf fill 44.6 and the trim of both edges: the mark is 20.5, and 20.3 is gauged."""
    job = replace(FILE.job, parts=(Part("walnut", 203, 190, 199, 8, "tile"),))
    job = replace(job, stock=(StockBoard("W", "walnut", 208 + 30 + 208 + 60, 7000, 220, 10),))
    strips = (StripCut(203, ((199, 4),)),) * 2
    file = planned(job, (BoardCut("W", (RoughCut(4000, 190, strips, 250),)),), "1/10 mm")
    (rip,) = set_ups(file, SHOP, DEFAULT_TIMES).of("rip")
    assert (rip.settings[0].exact, rip.settings[0].set_to) == (mm("20.8"), mm("20.5"))
    # Marks a whole millimetre apart have none between 20.3 and 20.8: the exact distance is set by test strips.
    (rip,) = set_ups(file, replace(SHOP, saw_scale=mm(1)), DEFAULT_TIMES).of("rip")
    assert rip.settings[0].set_to == rip.settings[0].exact


@pytest.mark.parametrize(("blade", "word"), [("crosscut_kerf", "crosscut"), ("rip_kerf", "rip")])
def test_a_blade_that_takes_more_than_the_plan_reckons_with_is_told_of_first(blade, word):
    told = set_ups(FILE, replace(SHOP, **{blade: mm("3.2")}), DEFAULT_TIMES).order
    assert told[0] == (
        f"The {word} blade takes 3.2 mm now and the plan reckons with 3 mm: plan anew before anything is cut."
    )
    thinner = set_ups(FILE, replace(SHOP, **{blade: mm("2.8")}), DEFAULT_TIMES).order
    assert not any("plan anew" in sentence for sentence in thinner)


def test_a_strip_without_parts_is_ripped_and_left_as_it_is():
    job = replace(FILE.job, parts=(Part("walnut", 203, 190, 199, 8, "tile"),))
    strips = (StripCut(203, ((199, 8),)), StripCut(400, ()))
    file = planned(job, (BoardCut("WAL1", (RoughCut(4000, 190, strips, 250),)),), "1/10 mm")
    ups = set_ups(file, SHOP, DEFAULT_TIMES)
    assert len(ups.of("rip")) == 2
    for kind in ("gauge", "square", "part"):
        assert {cut.piece for step in ups.of(kind) for cut in step.cuts} == {"WAL1-1.1"}


def test_a_plan_of_nothing_needs_no_set_up():
    file = planned(CutJob((), (), FILE.job.rules), (), "1/10 mm")
    ups = set_ups(file, SHOP, DEFAULT_TIMES)
    assert (ups.steps, ups.minutes.value) == ((), 0)
    assert from_record(to_record(ups)) == ups


def test_the_json_form_gives_the_set_ups_back_unchanged():
    for shop in (SHOP, replace(SHOP, grip=mm(150), shortest_machined=mm(501))):
        ups = set_ups(FILE, shop, DEFAULT_TIMES, spares=(3, 1, 0))
        assert from_record(to_record(ups)) == ups


def test_lengths_in_the_json_form_are_exact_text():
    tile = to_record(set_ups(FILE, SHOP, DEFAULT_TIMES))["steps"][-1]
    assert tile["settings"][0]["exact"] == "449/10"
    assert tile["cuts"][0]["size"] == ["199/10", "203/10", "19"]


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"plan": None}, "plan"),
        ({"unit": "cubit"}, "unit"),
        ({"job": replace(FILE.job, stock=())}, "plan"),
    ],
)
def test_a_file_that_cannot_be_followed_is_refused(change, field):
    with pytest.raises(ValueError, match=r".+") as refused:
        set_ups(replace(FILE, **change), SHOP, DEFAULT_TIMES)
    assert refused.value.field == field
    assert refused.value.mend


def test_times_and_spares_that_do_not_fit_are_refused():
    with pytest.raises(SetUpError) as refused:
        set_ups(FILE, SHOP, {"rip_strip": DEFAULT_TIMES["rip_strip"]})
    assert refused.value.field == "crosscut"
    for spares in ((1,), (1, 0, 2), (-1, 0, 0)):
        with pytest.raises(SetUpError) as refused:
            set_ups(FILE, SHOP, DEFAULT_TIMES, spares=spares)
        assert refused.value.field == "spares"
