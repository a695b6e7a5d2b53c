"""A picture of a boat on squares, and its grid looked at, corrected and kept as a browser does it."""

from __future__ import annotations

import io
import secrets

import numpy as np
from django.urls import reverse
from PIL import Image

# Eight rows of seven, four pixels a square.
BOAT = """
.......
...k...
..kkr..
.kkkrr.
...k...
kyyyyyk
.kkkkk.
.......
"""


def live(client, design, steps="", *asked, base="", **more):
    address = reverse("designs:grid_live", args=[design.pk])
    return client.get(address, {"base": base, "steps": steps, "step": list(asked), **more}).json()


def page_of(client, design, **asked):
    return client.get(reverse("designs:grid", args=[design.pk]), asked)


def keep(client, design, steps="", *, base=0, key=None, **more):
    design.refresh_from_db()
    return client.post(
        reverse("designs:grid", args=[design.pk]),
        {
            "base": base,
            "steps": steps,
            "form_key": key or secrets.token_urlsafe(24),
            "edit_version": design.edit_version,
            **more,
        },
    )


def cells(client, design, steps="", base=0):
    answer = client.get(reverse("designs:grid_cells", args=[design.pk]), {"base": base, "steps": steps})
    return np.asarray(Image.open(io.BytesIO(answer.content)).convert("RGBA"))
