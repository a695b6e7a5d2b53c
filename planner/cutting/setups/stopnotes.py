"""What is said at a stop: the spacer, the scale, the test cut, strips side by side."""

from __future__ import annotations

from planner.cutting.setups.bench import Bench
from planner.cutting.setups.terms import Setting
from planner.measures import Length

# Laid end to end, so many parts show the error of one so many times; no more than a long steel rule measures.
TEST_PIECES = 10
RULE = Length.of_mm(600)
_NTH = (
    "",
    "",
    "half",
    *("a " + n for n in ("third", "quarter", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth")),
)


def stop_notes(settings: tuple[Setting, ...], bundle: int, bench: Bench) -> tuple[str, ...]:
    """The sentences of a set-up at one stop or, for pieces that follow one another, at two."""
    shop = bench.shop
    notes = []
    if shop.stand_off:
        notes.append(
            f"Lay the {shop.says(shop.stand_off)} spacer against the stop, slide the strip's squared end against it, "
            "press the hold-down, take the spacer away, then cut: the part has room to the stop, and neither it nor "
            "the strip is caught between stop and blade."
        )
    else:
        notes.append(
            "No spacer is set for this shop: once the hold-down is pressed, swing the stop away before the cut, so "
            "that no part is caught between stop and blade."
        )
    if len(settings) > 1:
        notes.append(
            "Set a stop for each length, the nearer one so that it swings away: the pieces follow one another along "
            "the strip. Number them as they come."
        )
    for setting in settings:
        notes += _scale(setting, bench)
    if bundle > 1:
        notes.append(
            f"Up to {bundle} strips of one width side by side: each of them against the spacer, all of them under the "
            "hold-down."
        )
    return tuple(notes)


def _scale(setting: Setting, bench: Bench) -> list[str]:
    shop = bench.shop
    length = setting.exact - setting.spacer
    pieces = max(min(int(RULE / length), TEST_PIECES), 1)
    notes = [
        f"Test cut: {pieces} parts out of scrap laid end to end measure {shop.says(length * pieces)}; move the stop by "
        f"{_NTH[pieces]} of what they are more or less."
        if pieces > 1
        else f"Test cut: one part out of scrap measures {shop.says(length)}; move the stop by what it is more or less."
    ]
    if setting.off:
        each = max(setting.off, -setting.off)
        fit = _in_a_row(setting, bench)
        over = f"{shop.says(each * fit)} over a row of {fit}"
        notes.insert(
            0,
            f"The scale shows {shop.says(setting.set_to)}; exact is {shop.says(setting.exact)}. Left at the mark, "
            f"every part is {shop.says(each)} {'longer' if setting.set_to > setting.exact else 'shorter'}, {over}.",
        )
    return notes


def _in_a_row(setting: Setting, bench: Bench) -> int:
    """As many of these parts as stand in a row of tiles, each with its glue line; ten where no row is told."""
    length = setting.exact - setting.spacer + bench.shop.glue_line
    return max(int(bench.row / length), 1) if bench.row else TEST_PIECES
