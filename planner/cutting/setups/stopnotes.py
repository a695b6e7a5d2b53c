"""What is said at a stop: the spacer, the scale, the test cut, strips side by side."""

from __future__ import annotations

from planner.cutting.setups.bench import Bench
from planner.cutting.setups.scale import nearest
from planner.cutting.setups.terms import Setting
from planner.measures import Length
from planner.shop import Shop

# Laid end to end, so many parts show the error of one so many times; no more than a long steel rule measures.
TEST_PIECES = 10
RULE = Length.of_mm(600)
# How the notes begin that hold for one distance of the stop only; the others hold wherever it stands.
OF_ONE_DISTANCE = ("The scale shows", "No mark of the scale", "Test cut:")
_NTH = (
    "",
    "",
    "half",
    "a third",
    "a quarter",
    "a fifth",
    "a sixth",
    "a seventh",
    "an eighth",
    "a ninth",
    "a tenth",
)


def stop_notes(setting: Setting, bundle: int, apart: bool, bench: Bench) -> tuple[str, ...]:
    """The sentences of a set-up at one stop; ``apart`` where parts are cut apart into pieces of it."""
    shop = bench.shop
    notes = [
        f"The {shop.says(shop.stand_off)} spacer against the stop, the strip's squared end against the spacer, the "
        "hold-down pressed, the spacer taken away, then the cut: neither part nor strip is caught between stop and "
        "blade."
        if shop.stand_off
        else "No spacer is set for this shop: once the hold-down is pressed, swing the stop away before the cut, so "
        "that no part is caught between stop and blade."
    ]
    length = setting.exact - setting.spacer
    if setting.off:
        each = max(setting.off, -setting.off)
        fit = _in_a_row(length, bench)
        notes.append(
            f"The scale shows {shop.says(setting.set_to)}; exact is {shop.says(setting.exact)}. Left at the mark, "
            f"every part is {shop.says(each)} {'longer' if setting.set_to > setting.exact else 'shorter'}, "
            f"{shop.says(each * fit)} over a row of {fit}."
        )
    elif nearest(setting.exact, shop.saw_scale) != setting.exact:
        notes.append(
            f"No mark of the scale serves: at the nearest, parts would be longer and take from the grip. Set "
            f"{shop.says(setting.exact)} by test cuts."
        )
    notes.append(test_cut(length, shop))
    if apart:
        notes.append(
            "Both pieces of a row come off one strip, each at its own stop: number them in pairs as they are cut."
        )
    if bundle > 1:
        notes.append(
            f"Up to {bundle} strips of one width side by side: each of them against the spacer, all of them under the "
            "hold-down."
        )
    return tuple(notes)


def test_cut(length: Length, shop: Shop) -> str:
    """How a stop is tried that is to give parts of this length: as many as a rule measures, laid end to end."""
    pieces = max(min(int(RULE / length), TEST_PIECES), 1)
    return (
        f"Test cut: {pieces} parts out of scrap laid end to end measure {shop.says(length * pieces)}; move the stop by "
        f"{_NTH[pieces]} of what they are more or less."
        if pieces > 1
        else f"Test cut: one part out of scrap measures {shop.says(length)}; move the stop by what it is more or less."
    )


def _in_a_row(length: Length, bench: Bench) -> int:
    """As many parts of this length as stand in a row of tiles, each with its glue line; ten where no row is told."""
    return max(int(bench.row / (length + bench.shop.glue_line)), 1) if bench.row else TEST_PIECES
