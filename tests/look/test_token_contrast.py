"""Words can be read and controls found, in both themes.

Ratios asked for: WCAG 2.2, 1.4.3 (text 4.5 to 1) and 1.4.11 (controls and the focus ring 3 to 1).
Measured by coloraide, a library of colour science, not by our own arithmetic.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from coloraide import Color

CSS = Path(__file__).resolve().parents[2] / "static" / "css"
LIGHT_RULE, DARK_RULE = CSS.joinpath("tokens.css").read_text().split("@media (prefers-color-scheme: dark)")


def colours(rule: str) -> dict[str, str]:
    return dict(re.findall(r"(--[\w-]+):\s*(#[0-9a-f]{6})\b", rule))


LIGHT = colours(LIGHT_RULE)
THEMES = {"light": LIGHT, "dark": LIGHT | colours(DARK_RULE)}

TEXT = [
    *((words, ground) for words in ("--ink", "--ink-soft", "--accent") for ground in ("--paper", "--sheet")),
    *((words, ground) for words in ("--good", "--warn", "--stop") for ground in ("--paper", "--sheet")),
    ("--accent-ink", "--accent"),
    # The note of the demo, a button under the pointer, a piece of code.
    ("--ink", "--accent-wash"),
    ("--ink-soft", "--accent-wash"),
    ("--accent", "--accent-wash"),
]
CONTROLS = [
    *((edge, ground) for edge in ("--line-strong", "--accent", "--stop") for ground in ("--paper", "--sheet")),
    # The focus ring around the main button stands on the paper, two pixels off the button.
    ("--accent", "--paper"),
]


def contrast(theme: str, one: str, other: str) -> float:
    return Color(THEMES[theme][one]).contrast(THEMES[theme][other], method="wcag21")


@pytest.mark.parametrize("theme", THEMES)
@pytest.mark.parametrize(("words", "ground"), TEXT)
def test_words_can_be_read_on_their_ground(theme, words, ground):
    assert contrast(theme, words, ground) >= 4.5


@pytest.mark.parametrize("theme", THEMES)
@pytest.mark.parametrize(("edge", "ground"), CONTROLS)
def test_the_edge_of_a_field_a_button_and_the_focus_ring_can_be_seen(theme, edge, ground):
    assert contrast(theme, edge, ground) >= 3


def test_the_words_of_a_darkened_picture_of_the_pattern_stay_on_light_paper():
    """The pattern keeps its paper white in both themes, as it will be printed."""
    rule = re.search(r"\.pattern \{ background: (#\w+); color: (#\w+);", CSS.joinpath("components.css").read_text())
    assert Color(rule[1]).contrast(rule[2], method="wcag21") >= 7


def test_the_dark_theme_names_every_colour_anew():
    assert set(colours(DARK_RULE)) == set(LIGHT)
