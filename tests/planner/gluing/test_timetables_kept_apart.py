"""Timetables made apart that want one thing at once are found, and no others.

The oracle takes every single thing in use and tries to give it one that is there, by hand (augmenting paths).
"""

from __future__ import annotations

from random import Random

from planner.gluing import InUse, clashes, kinds_of

JIGS = {"jigs: Long": 1, "jigs: Short": 1, "jigs: Bench and vice": 2}


def use(whose: str, pool: str, begins: int, ends: int, many: int = 1) -> InUse:
    return InUse(whose, f"{whose} {pool} {begins}", pool, many, begins, ends)


def test_one_jig_for_two_rows_at_once_is_told_with_the_moment_it_begins():
    (found,) = clashes([use("a", "jigs: Long", 0, 6), use("b", "jigs: Long", 4, 10)], JIGS, {})
    assert (found.at, found.kinds, found.wanted, found.there) == (4, ("jigs: Long",), 2, 1)
    assert found.whose == {"a", "b"}


def test_what_one_leaves_another_may_take_at_the_same_moment():
    assert clashes([use("a", "jigs: Long", 0, 6), use("b", "jigs: Long", 6, 10)], JIGS, {}) == ()


def test_a_row_that_several_jigs_take_is_in_the_way_only_where_all_of_them_are_taken():
    either = "jigs: Long and Short"
    free = [use("a", "jigs: Long", 0, 6), use("b", either, 0, 6)]
    assert clashes(free, JIGS, {}) == ()
    (found,) = clashes([*free, use("c", "jigs: Short", 2, 3)], JIGS, {})
    assert (found.at, found.wanted, found.there) == (2, 3, 2)


def test_too_much_of_one_timetable_by_itself_is_no_clash():
    assert clashes([use("a", "jigs: Long", 0, 6), use("a", "jigs: Long", 0, 6)], JIGS, {}) == ()


def test_a_name_with_an_and_in_it_is_one_kind_and_one_nobody_knows_is_a_kind_by_itself():
    assert kinds_of("jigs: Bench and vice and Short", JIGS) == ("jigs: Bench and vice", "jigs: Short")
    gone = "clamps: Old ones and others"
    assert kinds_of(gone, JIGS) == (gone,)
    wanted = [use("a", gone, 0, 5, 3), use("b", gone, 1, 2, 2)]
    assert clashes(wanted, JIGS, {gone: 5}) == () and len(clashes(wanted, JIGS, {gone: 4})) == 1


def oracle(uses: list[InUse], there: dict[str, int], at: int) -> bool:
    """Whether everything in use at a moment can be given something that is there."""
    things = [kind for kind, many in there.items() for _ in range(many)]
    given: dict[int, int] = {}
    units = [one for one in uses if one.begins <= at < one.ends for _ in range(one.many)]

    def place(unit: int, tried: set[int]) -> bool:
        for n, kind in enumerate(things):
            if kind in kinds_of(units[unit].pool, there) and n not in tried:
                tried.add(n)
                if n not in given or place(given[n], tried):
                    given[n] = unit
                    return True
        return False

    return all(place(unit, set()) for unit in range(len(units)))


def drawn_by_lot(seed: int) -> tuple[list[InUse], dict[str, int]]:
    """Three timetables that each take something of pools that overlap; each alone fits, as a timetable does."""
    draw = Random(seed)
    there = {f"jigs: {name}": draw.randint(1, 3) for name in "ABC"}
    pools = ["jigs: A", "jigs: B", "jigs: C", "jigs: A and B", "jigs: B and C", "jigs: A and B and C"]
    uses = []
    for whose in ("one", "two", "three"):
        begins, pool = draw.randint(0, 8), draw.choice(pools)
        most = sum(there[kind] for kind in kinds_of(pool, there))
        uses.append(use(whose, pool, begins, begins + draw.randint(1, 6), draw.randint(1, most)))
    return uses, there


def test_a_moment_is_told_exactly_where_no_way_of_sharing_out_serves_all():
    wrong, told = [], 0
    for seed in range(300):
        uses, there = drawn_by_lot(seed)
        found = clashes(uses, there, {})
        full = {one.begins for one in uses if not oracle(uses, there, one.begins)}
        told += bool(full)
        if not {clash.at for clash in found} <= full or bool(found) != bool(full):
            wrong.append(seed)
    assert wrong == [] and 30 < told < 270
