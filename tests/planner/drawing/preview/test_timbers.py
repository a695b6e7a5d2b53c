"""Every wood has a grain, in keeping with what is published of its pores, and says what each value rests on."""

from __future__ import annotations

from planner.drawing.preview.timbers import TIMBERS, timber_of
from planner.woods import WOODS
from tests.support.each import each


def test_every_wood_of_the_table_has_a_grain():
    assert set(TIMBERS) == set(WOODS)


@each("wood_id", TIMBERS)
def test_pores_are_as_the_table_of_woods_says(wood_id):
    timber, words = timber_of(wood_id), WOODS[wood_id].pores
    if words.startswith("ring-porous"):
        assert timber.rings.early_mm > 0
        assert timber.pores.late < 0.3
    elif words.startswith("semi-ring-porous"):
        assert timber.rings.early_mm == 0
        assert timber.pores.late < 0.6
    else:
        assert timber.rings.early_mm == 0
        assert timber.pores.late > 0.6
    # Texture by the diameter of vessels: fine below 0.1 mm, coarse above 0.2 (IAWA list of features, classes 40 to 43).
    if "fine" in words:
        assert timber.pores.diameter_mm < 0.1
    if "coarse" in words:
        assert timber.pores.diameter_mm >= 0.18
    if "interlocked" in words:
        assert timber.figure.ribbon > 0.1


@each("wood_id", TIMBERS)
def test_vessels_leave_room_for_wood(wood_id):
    pores = timber_of(wood_id).pores
    assert 0 < pores.per_mm2 * pores.diameter_mm**2 * 3.1416 / 4 < 0.6


@each("wood_id", TIMBERS)
def test_each_group_of_values_says_what_it_rests_on(wood_id):
    said = dict(timber_of(wood_id).sources)
    assert {"rings", "pores", "rays", "figure", "streaks", "spread"} <= set(said)
    assert all(said.values())


def test_a_wood_of_the_makers_own_gets_a_plain_fine_grain():
    timber = timber_of("own-17")
    assert dict(timber.sources)["pores"].startswith("nothing is known")
    assert timber.rings.early_mm == 0
    assert timber.pores.diameter_mm < 0.1
    assert timber.spread < 0.12
