"""Colour science: sRGB to CIELAB under D65, the CIEDE2000 difference, and OKLab.

Sources: IEC 61966-2-1 (sRGB), CIE 15 (CIELAB), CIE 142-2001 and G. Sharma, W. Wu, E. N. Dalal, "The CIEDE2000
color-difference formula", Color Research and Application 30 (2005) 21-30; B. Ottosson, "A perceptual color space for
image processing" (2020) for OKLab, with its matrices as recomputed for the white of sRGB in W3C CSS Color 4.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

# Light of sRGB to CIE XYZ whose white has Y = 1 (IEC 61966-2-1).
RGB_TO_XYZ = np.array(
    [
        [0.4123907992659595, 0.357584339383878, 0.1804807884018343],
        [0.21263900587151027, 0.715168678767756, 0.07219231536073371],
        [0.01933081871559182, 0.11919477979462598, 0.9505321522496607],
    ]
)
_WHITE = RGB_TO_XYZ.sum(axis=1)
_XYZ_TO_CONES = np.array(
    [
        [0.8190224379967030, 0.3619062600528904, -0.1288737815209879],
        [0.0329836539323885, 0.9292868615863434, 0.0361446663506424],
        [0.0481771893596242, 0.2642395317527308, 0.6335478284694309],
    ]
)
_CONES_TO_OKLAB = np.array(
    [
        [0.2104542683093140, 0.7936177747023054, -0.0040720430116193],
        [1.9779985324311684, -2.4285922420485799, 0.4505937096174110],
        [0.0259040424655478, 0.7827717124575296, -0.8086757549230774],
    ]
)


def srgb_to_lab(rgb: ArrayLike) -> Floats:
    """CIELAB of sRGB colours 0 to 255, last axis R, G, B.

    >>> srgb_to_lab([255, 255, 255]).round(6).tolist()
    [100.0, 0.0, 0.0]
    """
    return xyz_to_lab(_linear(rgb) @ RGB_TO_XYZ.T)


def xyz_to_lab(xyz: ArrayLike) -> Floats:
    """CIELAB of CIE XYZ colours under D65 whose white has Y = 1.

    >>> xyz_to_lab([0, 1, 0]).round(1).tolist()
    [100.0, -431.0, 172.4]
    """
    ratio = np.asarray(xyz, dtype=np.float64) / _WHITE
    f = np.where(ratio > (6 / 29) ** 3, np.cbrt(ratio), ratio / (3 * (6 / 29) ** 2) + 4 / 29)
    lightness = 116 * f[..., 1] - 16
    lab = np.stack([lightness, 500 * (f[..., 0] - f[..., 1]), 200 * (f[..., 1] - f[..., 2])], axis=-1)
    return np.asarray(lab, dtype=np.float64) + 0.0


def _linear(rgb: ArrayLike) -> Floats:
    encoded = np.asarray(rgb, dtype=np.float64) / 255
    return np.where(encoded <= 0.04045, encoded / 12.92, ((np.maximum(encoded, 0) + 0.055) / 1.055) ** 2.4)


_LINEAR_BYTES = _linear(np.arange(256))


def srgb_to_oklab(rgb: ArrayLike) -> Floats:
    """OKLab of sRGB colours 0 to 255, last axis R, G, B: lightness 0 to 1, then green to red and blue to yellow.

    Equal steps look about equally large, and mixtures keep their hue; black to white measures 1.

    >>> abs(srgb_to_oklab([255, 255, 255]).round(6)).tolist()
    [1.0, 0.0, 0.0]
    """
    colours = np.asarray(rgb)
    # Whole bytes, as pictures hold them, are looked up: raising to a power is what takes the time.
    linear = _LINEAR_BYTES[colours] if colours.dtype == np.uint8 else _linear(colours)
    return np.asarray(np.cbrt(linear @ (_XYZ_TO_CONES @ RGB_TO_XYZ).T) @ _CONES_TO_OKLAB.T)


def xyz_to_oklab(xyz: ArrayLike) -> Floats:
    """OKLab of CIE XYZ colours under D65 whose white has Y = 1.

    >>> xyz_to_oklab([0, 1, 0]).round(3).tolist()
    [0.922, -0.671, 0.263]
    """
    return np.asarray(np.cbrt(np.asarray(xyz, dtype=np.float64) @ _XYZ_TO_CONES.T) @ _CONES_TO_OKLAB.T)


def oklab_to_srgb(oklab: ArrayLike) -> Floats:
    """sRGB, 0 to 255 and not rounded, of OKLab colours; what a screen cannot show is brought to the nearest it can,
    channel by channel.

    >>> oklab_to_srgb(srgb_to_oklab([200, 30, 90])).round(6).tolist()
    [200.0, 30.0, 90.0]
    """
    cones = (np.asarray(oklab, dtype=np.float64) @ np.linalg.inv(_CONES_TO_OKLAB).T) ** 3
    linear = np.clip(cones @ np.linalg.inv(_XYZ_TO_CONES @ RGB_TO_XYZ).T, 0, 1)
    encoded = np.where(linear <= 0.0031308, linear * 12.92, 1.055 * linear ** (1 / 2.4) - 0.055)
    return np.asarray(255 * encoded)


def ciede2000(one: ArrayLike, other: ArrayLike) -> Floats:
    """The CIEDE2000 difference of CIELAB colours, last axis L*, a*, b*; other axes broadcast.

    >>> round(float(ciede2000([50, 2.6772, -79.7751], [50, 0, -82.7485])), 4)
    2.0425
    """
    l1, a1, b1 = np.moveaxis(np.asarray(one, dtype=np.float64), -1, 0)
    l2, a2, b2 = np.moveaxis(np.asarray(other, dtype=np.float64), -1, 0)
    chroma = (np.hypot(a1, b1) + np.hypot(a2, b2)) / 2
    seventh = chroma**7
    g = 0.5 * (1 - np.sqrt(seventh / (seventh + 25.0**7)))
    a1, a2 = (1 + g) * a1, (1 + g) * a2
    c1, c2 = np.hypot(a1, b1), np.hypot(a2, b2)
    h1, h2 = np.degrees(np.arctan2(b1, a1)) % 360, np.degrees(np.arctan2(b2, a2)) % 360
    grey = c1 * c2 == 0
    turn = h2 - h1
    turn = np.where(grey, 0, np.where(turn > 180, turn - 360, np.where(turn < -180, turn + 360, turn)))
    d_hue = 2 * np.sqrt(c1 * c2) * np.sin(np.radians(turn) / 2)
    mean_l, mean_c = (l1 + l2) / 2, (c1 + c2) / 2
    total = h1 + h2
    apart = np.abs(h1 - h2) > 180
    mean_h = np.where(grey, total, np.where(apart, (total + np.where(total < 360, 360, -360)) / 2, total / 2))
    t = (
        1
        - 0.17 * np.cos(np.radians(mean_h - 30))
        + 0.24 * np.cos(np.radians(2 * mean_h))
        + 0.32 * np.cos(np.radians(3 * mean_h + 6))
        - 0.20 * np.cos(np.radians(4 * mean_h - 63))
    )
    s_l = 1 + 0.015 * (mean_l - 50) ** 2 / np.sqrt(20 + (mean_l - 50) ** 2)
    s_c, s_h = 1 + 0.045 * mean_c, 1 + 0.015 * mean_c * t
    seventh = mean_c**7
    rotation = -2 * np.sqrt(seventh / (seventh + 25.0**7))
    rotation = rotation * np.sin(np.radians(60 * np.exp(-(((mean_h - 275) / 25) ** 2))))
    d_l, d_c, d_h = (l2 - l1) / s_l, (c2 - c1) / s_c, d_hue / s_h
    return np.asarray(np.sqrt(d_l**2 + d_c**2 + d_h**2 + rotation * d_c * d_h))
