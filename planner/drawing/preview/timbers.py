"""The grain of every wood of the table; what each group of values rests on stands in `timber_sources`."""

from __future__ import annotations

from dataclasses import replace
from types import MappingProxyType

from planner.drawing.preview.timber import Figure, Pores, Rays, Rings, Streaks, Timber
from planner.drawing.preview.timber_sources import sources_of

_T: dict[str, Timber] = {
    "maple-hard": Timber(
        Rings(2.2, late=0.05, line=0.13, line_mm=0.18, uneven_tone=0.02, wander_mm=1.0),
        Pores(0.07, 55, 2.0, depth=0.16),
        Rays(0.7, 0.07, share=0.05, spindle=0.10, fleck=0.10, deep_mm=1.6, cover=0.3),
        Figure(curl=0.022, curl_mm=8, mottle=0.022),
        spread=0.055, warmth=0.03, fibre=0.018,
    ),
    "maple-soft": Timber(
        Rings(2.8, late=0.06, line=0.10, line_mm=0.2, uneven_tone=0.03, wander_mm=1.0),
        Pores(0.075, 50, 2.0, depth=0.18),
        Rays(0.5, 0.06, share=0.05, spindle=0.10, fleck=0.09, deep_mm=1.5, cover=0.3),
        Figure(curl=0.038, curl_mm=9, mottle=0.025),
        Streaks(0.06, 22, (0.8, 1.0, 1.2)),
        spread=0.075, warmth=0.04, fibre=0.022,
    ),
    "birch-yellow": Timber(
        Rings(2.0, late=0.09, line=0.07, line_mm=0.25, uneven_tone=0.035, wander_mm=1.2),
        Pores(0.10, 14, 3.2, depth=0.3),
        Rays(0.4, 0.04),
        Figure(curl=0.026, curl_mm=11, mottle=0.03),
        Streaks(0.09, 30, (0.7, 1.0, 1.4)),
        spread=0.08, warmth=0.045, fibre=0.03,
    ),
    "beech": Timber(
        Rings(2.2, late=0.08, line=0.05, line_mm=0.35, uneven_tone=0.03, wander_mm=0.8),
        Pores(0.055, 90, 1.5, depth=0.14),
        Rays(2.0, 0.13, share=0.07, spindle=0.55, fleck=0.20, fleck_mm=1.4, deep_mm=3.4, cover=0.26),
        Figure(mottle=0.018),
        spread=0.06, warmth=0.03, fibre=0.022,
    ),
    "ash-white": Timber(
        Rings(2.4, uneven=0.38, late=0.04, early=0.1, early_mm=0.65, uneven_tone=0.05, wander_mm=0.9),
        Pores(0.22, 13, 5.0, depth=0.40, late=0.05),
        Rays(0.3, 0.04),
        Figure(mottle=0.02, curl=0.012, curl_mm=10),
        Streaks(0.05, 30, (0.9, 1.0, 1.1)),
        spread=0.075, warmth=0.035, fibre=0.032,
    ),
    "oak-white": Timber(
        Rings(1.9, uneven=0.35, late=0.05, early=0.1, early_mm=0.6, uneven_tone=0.04, wander_mm=0.9),
        Pores(0.25, 10, 5.5, depth=0.36, late=0.03),
        Rays(14.0, 0.28, share=0.045, spindle=0.20, fleck=-0.2, fleck_mm=3.5, deep_mm=13.0, cover=0.26),
        Figure(mottle=0.022),
        spread=0.085, warmth=0.03, fibre=0.04, cut=(28.0, 30.0),
    ),
    "oak-northern-red": Timber(
        Rings(2.4, uneven=0.35, late=0.04, early=0.1, early_mm=0.75, uneven_tone=0.04, wander_mm=0.9),
        Pores(0.28, 7, 6.5, depth=0.48, late=0.03),
        Rays(8.0, 0.25, share=0.04, spindle=0.24, fleck=-0.16, fleck_mm=2.6, deep_mm=9.0, cover=0.2),
        Figure(mottle=0.022),
        spread=0.085, warmth=0.035, fibre=0.038, cut=(24.0, 26.0),
    ),
    "cherry-black": Timber(
        Rings(2.2, late=0.13, line=0.12, line_mm=0.25, uneven_tone=0.045, wander_mm=1.1),
        Pores(0.07, 60, 1.8, depth=0.26, late=0.75),
        Rays(0.7, 0.06, share=0.05, spindle=-0.06, fleck=-0.09, deep_mm=1.6, cover=0.3),
        Figure(curl=0.025, curl_mm=10, mottle=0.04),
        Streaks(0.10, 16, (0.9, 1.1, 1.2)),
        spread=0.11, warmth=0.05, fibre=0.036,
    ),
    "walnut-black": Timber(
        Rings(3.2, uneven=0.4, late=0.26, line=0.12, line_mm=0.3, uneven_tone=0.12, wander_mm=1.3),
        Pores(0.17, 7, 5.0, depth=0.6, late=0.35),
        Rays(0.4, 0.03),
        Figure(curl=0.035, curl_mm=12, mottle=0.045),
        Streaks(0.42, 12, (1.1, 1.0, 0.75)),
        spread=0.15, warmth=0.06, fibre=0.075,
    ),
    "hickory-true": Timber(
        Rings(1.7, uneven=0.38, late=0.07, early=0.12, early_mm=0.35, uneven_tone=0.05, wander_mm=0.9),
        Pores(0.23, 7, 5.0, depth=0.42, late=0.10),
        Rays(0.4, 0.04),
        Figure(mottle=0.025),
        Streaks(0.18, 26, (0.85, 1.0, 1.1)),
        spread=0.12, warmth=0.05, fibre=0.035,
    ),
    "yellow-poplar": Timber(
        Rings(3.2, late=0.06, line=-0.08, line_mm=0.2, uneven_tone=0.03, wander_mm=0.9),
        Pores(0.07, 70, 1.8, depth=0.14),
        Rays(0.6, 0.05, share=0.04, spindle=0.06),
        Figure(mottle=0.02),
        Streaks(0.20, 26, (1.25, 0.9, 1.05)),
        spread=0.11, warmth=0.07, fibre=0.024,
    ),
    "basswood": Timber(
        Rings(2.8, late=0.03, line=-0.03, line_mm=0.2, uneven_tone=0.015, wander_mm=0.8),
        Pores(0.06, 80, 1.6, depth=0.10),
        Rays(0.8, 0.05, share=0.03, spindle=0.05, fleck=0.03, deep_mm=1.5, cover=0.2),
        Figure(mottle=0.012),
        spread=0.04, warmth=0.025, fibre=0.014,
    ),
    "alder-red": Timber(
        Rings(3.0, late=0.06, line=-0.04, line_mm=0.25, uneven_tone=0.025, wander_mm=0.9),
        Pores(0.07, 60, 1.8, depth=0.14),
        Rays(9.0, 0.18, share=0.012, spindle=0.16, fleck=0.09, deep_mm=4.0, cover=0.08),
        Figure(mottle=0.025),
        spread=0.075, warmth=0.035, fibre=0.022,
    ),
    "sycamore": Timber(
        Rings(2.6, late=0.05, line=-0.03, line_mm=0.2, uneven_tone=0.03, wander_mm=0.9),
        Pores(0.065, 90, 1.6, depth=0.12),
        Rays(1.7, 0.14, share=0.16, spindle=0.22, fleck=0.25, fleck_mm=1.1, deep_mm=4.2, cover=0.42),
        Figure(mottle=0.018),
        Streaks(0.05, 30, (0.8, 1.0, 1.2)),
        spread=0.07, warmth=0.04, fibre=0.022, cut=(56.0, 27.0),
    ),
    "elm-american": Timber(
        Rings(2.6, uneven=0.35, late=0.06, early=0.1, early_mm=0.3, uneven_tone=0.05, wander_mm=1.5),
        Pores(0.22, 9, 5.0, depth=0.42, late=0.12),
        Rays(0.4, 0.04),
        Figure(ribbon=0.03, ribbon_mm=16, mottle=0.03),
        Streaks(0.08, 22, (0.9, 1.0, 1.1)),
        spread=0.10, warmth=0.045, fibre=0.04,
    ),
    "sapele": Timber(
        Rings(3.4, uneven=0.45, late=0.05, line=0.05, line_mm=0.3, uneven_tone=0.05, wander_mm=0.6),
        Pores(0.15, 9, 3.2, depth=0.42),
        Rays(0.5, 0.06, share=0.04, spindle=0.06),
        Figure(ribbon=0.19, ribbon_mm=9, curl=0.018, curl_mm=12, mottle=0.035),
        Streaks(0.06, 18, (0.9, 1.0, 1.0)),
        spread=0.10, warmth=0.04, fibre=0.055, cut=(72.0, 16.0),
    ),
    "khaya": Timber(
        Rings(4.0, uneven=0.4, late=0.04, uneven_tone=0.04, wander_mm=0.8),
        Pores(0.18, 6, 4.0, depth=0.42),
        Rays(0.6, 0.08, share=0.05, spindle=0.06, fleck=0.05, deep_mm=1.6, cover=0.2),
        Figure(ribbon=0.09, ribbon_mm=15, curl=0.025, curl_mm=14, mottle=0.035),
        spread=0.11, warmth=0.04, fibre=0.05, cut=(55.0, 25.0),
    ),
    "mahogany": Timber(
        Rings(3.6, uneven=0.4, late=0.06, line=-0.10, line_mm=0.16, uneven_tone=0.05, wander_mm=0.8),
        Pores(0.16, 8, 4.0, depth=0.42),
        Rays(0.45, 0.08, share=0.06, spindle=0.07, fleck=0.05, deep_mm=1.4, cover=0.2),
        Figure(ribbon=0.05, ribbon_mm=18, curl=0.02, curl_mm=14, mottle=0.035),
        spread=0.11, warmth=0.04, fibre=0.045, cut=(35.0, 28.0),
    ),
    "padauk": Timber(
        Rings(4.5, uneven=0.4, late=0.08, line=0.04, line_mm=0.3, uneven_tone=0.08, wander_mm=0.9),
        Pores(0.23, 2.5, 6.0, depth=0.50),
        Rays(0.2, 0.03),
        Figure(ribbon=0.05, ribbon_mm=14, mottle=0.03),
        Streaks(0.36, 13, (1.0, 1.1, 0.9)),
        spread=0.12, warmth=0.05, fibre=0.06, cut=(40.0, 30.0),
    ),
    "purpleheart": Timber(
        Rings(4.0, uneven=0.4, late=0.05, line=0.04, line_mm=0.3, uneven_tone=0.05, wander_mm=0.7),
        Pores(0.13, 5, 3.5, depth=0.34),
        Rays(0.4, 0.03),
        Figure(ribbon=0.05, ribbon_mm=13, mottle=0.025),
        Streaks(0.10, 16, (1.1, 1.0, 0.8)),
        spread=0.10, warmth=0.05, fibre=0.04, cut=(40.0, 30.0),
    ),
    "wenge": Timber(
        Rings(0.9, uneven=0.3, late=-0.55, uneven_tone=0.12, wander_mm=0.5),
        Pores(0.25, 3.0, 8.0, depth=0.30),
        Rays(0.4, 0.03),
        Figure(mottle=0.03),
        Streaks(0.15, 14, (1.0, 1.0, 1.0)),
        spread=0.13, warmth=0.03, fibre=0.08, cut=(35.0, 30.0),
    ),
    "iroko": Timber(
        Rings(3.5, uneven=0.4, late=0.06, line=-0.05, line_mm=0.3, uneven_tone=0.07, wander_mm=0.9),
        Pores(0.25, 3.5, 6.0, depth=0.42),
        Rays(0.4, 0.05),
        Figure(ribbon=0.08, ribbon_mm=16, mottle=0.035),
        Streaks(0.14, 20, (0.9, 1.0, 1.1)),
        spread=0.12, warmth=0.04, fibre=0.055, cut=(45.0, 28.0),
    ),
    "teak": Timber(
        Rings(3.0, uneven=0.4, late=0.08, line=0.12, line_mm=0.3, early=0.1, early_mm=0.5, uneven_tone=0.08),
        Pores(0.24, 6, 6.0, depth=0.45, late=0.22),
        Rays(0.6, 0.05),
        Figure(mottle=0.03),
        Streaks(0.26, 18, (1.0, 1.0, 1.1)),
        spread=0.12, warmth=0.05, fibre=0.05,
    ),
    "jatoba": Timber(
        Rings(4.0, uneven=0.4, late=0.06, line=-0.06, line_mm=0.2, uneven_tone=0.06, wander_mm=0.9),
        Pores(0.14, 4, 3.5, depth=0.36),
        Rays(0.5, 0.05, share=0.03, spindle=0.05),
        Figure(ribbon=0.05, ribbon_mm=14, mottle=0.03),
        Streaks(0.16, 18, (0.9, 1.05, 1.1)),
        spread=0.11, warmth=0.05, fibre=0.045, cut=(35.0, 28.0),
    ),
    "osage-orange": Timber(
        Rings(2.6, uneven=0.35, late=0.05, early=0.08, early_mm=0.5, uneven_tone=0.06, wander_mm=1.2),
        Pores(0.20, 10, 4.5, depth=0.34, late=0.08),
        Rays(0.4, 0.04),
        Figure(mottle=0.03),
        Streaks(0.12, 20, (0.8, 1.0, 1.3)),
        spread=0.11, warmth=0.06, fibre=0.045,
    ),
}  # fmt: skip

TIMBERS = MappingProxyType({name: replace(timber, sources=sources_of(name)) for name, timber in _T.items()})

# Of a maker's own woods nothing is known but the colour.
PLAIN = Timber(
    Rings(2.6, late=0.07, line=0.04, line_mm=0.25, uneven_tone=0.03, wander_mm=0.9),
    Pores(0.08, 40, 2.2, depth=0.2),
    Rays(0.5, 0.05),
    Figure(mottle=0.02),
    spread=0.08,
    warmth=0.035,
    fibre=0.028,
    sources=tuple((group, "nothing is known of this wood: set by eye") for group, _ in sources_of("")),
)


def timber_of(wood_id: str) -> Timber:
    """The grain of a wood. One of the maker's own, which is not in the table, gets a plain fine-textured grain.

    >>> timber_of("oak-white").rings.early_mm > 0, timber_of("own-1").rings.early_mm > 0
    (True, False)
    """
    return TIMBERS.get(wood_id, PLAIN)
