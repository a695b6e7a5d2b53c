"""What a stretch of wood shows, before it is given a colour."""

from __future__ import annotations

from dataclasses import dataclass

from planner.drawing.preview.grain_noise import Floats


@dataclass(frozen=True, slots=True)
class Layers:
    """Each (strips, width, length): ``tone`` in natural logarithms; ``left``, the part of the light that vessels leave;
    ``streak``, how much of a streak's colour is there, None for woods without any."""

    tone: Floats
    left: Floats
    streak: Floats | None


# What is drawn from a strip's seed, each by its own number.
OWN, TAPER, BOW, WANDER, RIPPLE, PLACE, CURL, PATCH, RIBBON, MOTTLE, BAND = range(1, 12)
