"""How a wood looks in a drawing: its finished colour, its mark, and ink that can be read on it."""

from __future__ import annotations

from dataclasses import dataclass
from html import escape

Rgb = tuple[int, int, int]
DARK_INK, LIGHT_INK = "#241c15", "#fff8ec"


@dataclass(frozen=True, slots=True)
class WoodLook:
    """``rgb`` 0 to 255 each, finished; ``mark`` a name in MARKS."""

    name: str
    rgb: Rgb
    mark: str

    @property
    def fill(self) -> str:
        return hex_of(self.rgb)

    @property
    def ink(self) -> str:
        return LIGHT_INK if luminance(self.rgb) < 0.25 else DARK_INK


def hex_of(rgb: Rgb) -> str:
    return "#{:02x}{:02x}{:02x}".format(*rgb)


def luminance(rgb: Rgb) -> float:
    """Relative luminance, 0 to 1 (WCAG 2.2)."""
    linear = [c / 3294.6 if c <= 10 else ((c / 255 + 0.055) / 1.055) ** 2.4 for c in rgb]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def shade(rgb: Rgb, factor: float) -> Rgb:
    """Lighter above 1, darker below."""
    r, g, b = (max(0, min(255, round(c * factor))) for c in rgb)
    return r, g, b


def number(value: float) -> str:
    """A coordinate without needless digits."""
    return f"{value:.3f}".rstrip("0").rstrip(".")


def opening(width: float, height: float, title: str, more: str = "") -> str:
    """The opening tag of a drawing with its words: for whoever cannot see it, on a page and in a tagged paper.
    Without a title the drawing is decoration and says so."""
    box = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {number(width)} {number(height)}" {more}'.rstrip()
    if not title:
        return f'{box} aria-hidden="true">'
    words = escape(title)
    return f'{box} role="img" aria-label="{words}"><title>{words}</title>'
