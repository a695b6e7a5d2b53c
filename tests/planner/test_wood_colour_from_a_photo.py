"""A wood's colour is found again under any light and exposure; the light is laid on by a general colour library."""

from __future__ import annotations

import io
from functools import cache

import numpy as np
import pytest
from coloraide import Color
from PIL import Image

from planner.errors import PlannerError
from planner.matching.scores import EDGE_FROM
from planner.picture import PictureError
from planner.sample import REFLECTS, SEEN, SEEN_BEYOND, shift, shown_copy, wood_colour
from tests.support.each import each
from tests.support.picture_files import saved

# Browns and their neighbours among the named colours of CSS Color Module Level 4 (W3C), in sRGB.
NAMED = {
    "wheat": (245, 222, 179),
    "burlywood": (222, 184, 135),
    "tan": (210, 180, 140),
    "peru": (205, 133, 63),
    "sienna": (160, 82, 45),
    "saddlebrown": (139, 69, 19),
    "rosybrown": (188, 143, 143),
    "maroon": (128, 0, 0),
}
# How much of each channel of light falls on the scene, 1 for plain daylight at full exposure.
LIGHTS = {
    "daylight": (0.95, 0.95, 0.95),
    "lamp": (0.95, 0.66, 0.36),
    "shade": (0.55, 0.68, 0.9),
    "dim": (0.3, 0.3, 0.3),
    "green tube": (0.5, 0.7, 0.45),
}
CARD, WOOD = (100, 150), (300, 150)


def in_light(rgb, light) -> np.ndarray:
    """A surface of that colour photographed in that light, as light, by the library."""
    linear = np.array(Color("srgb", [c / 255 for c in rgb]).convert("srgb-linear").coords())
    return linear * light


@cache
def curve() -> tuple[np.ndarray, np.ndarray]:
    """The library's curve, by a table of it."""
    steps = np.linspace(0, 1, 4001)
    return steps, np.array([Color("srgb-linear", [s, s, s]).convert("srgb").coords()[0] * 255 for s in steps])


def encoded(linear: np.ndarray) -> np.ndarray:
    """Light as the eight bits a camera keeps."""
    return np.rint(np.interp(np.clip(linear, 0, 1), *curve())).astype(np.uint8)


def photo(wood_light: np.ndarray, card_light: np.ndarray) -> np.ndarray:
    """400 by 300: a card at the left, the wood at the right."""
    scene = np.empty((300, 400, 3))
    scene[:, :200], scene[:, 200:] = card_light, wood_light
    return scene


def grey(share: float) -> np.ndarray:
    return np.array([share] * 3)


def difference(one, other) -> float:
    colours = [Color("srgb", [c / 255 for c in rgb]) for rgb in (one, other)]
    return colours[0].delta_e(colours[1], method="2000", space="lab-d65")


@each("kind", REFLECTS)
@each("light", LIGHTS)
@each("name", NAMED)
def test_a_known_colour_is_found_again_within_one(name, light, kind):
    fallen = LIGHTS[light]
    scene = photo(in_light(NAMED[name], fallen), grey(REFLECTS[kind]) * fallen)
    found = wood_colour(saved(Image.fromarray(encoded(scene))), CARD, WOOD, kind)
    assert difference(found.rgb, NAMED[name]) < 1
    assert found.card_rgb == tuple(encoded(grey(REFLECTS[kind]) * fallen).tolist())


@each("light", ["daylight", "lamp", "shade"])
def test_grain_noise_and_a_lossy_file_leave_it_within_one_and_a_half(light):
    draw = np.random.default_rng(8)
    wood = np.tile(in_light(NAMED["sienna"], LIGHTS[light]), (300, 400, 1))
    # Growth rings along the piece, 20 % lighter and darker, and fine noise on everything.
    wood *= 1 + 0.2 * np.sin(np.arange(300) / 2.3)[:, None, None]
    scene = np.where((np.arange(400) < 200)[None, :, None], grey(0.9) * LIGHTS[light], wood)
    scene *= 1 + draw.normal(0, 0.04, scene.shape)
    found = wood_colour(saved(Image.fromarray(encoded(scene)), "JPEG", quality=88), CARD, WOOD)
    assert difference(found.rgb, NAMED["sienna"]) < 1.5
    assert found.warnings == ()


def test_specks_of_gloss_and_dust_do_not_move_it():
    draw = np.random.default_rng(3)
    scene = photo(in_light(NAMED["tan"], LIGHTS["dim"]), grey(0.9) * LIGHTS["dim"])
    for value in (0.9, 0.0):
        scene[draw.random(scene.shape[:2]) < 0.03] = value
    found = wood_colour(saved(Image.fromarray(encoded(scene))), CARD, WOOD)
    assert difference(found.rgb, NAMED["tan"]) < 1


def test_the_cards_are_what_the_standards_make_of_their_light():
    # CIE 15: L* of 18 and 90 percent; IEC 61966-2-1: the same as sRGB. Both reckoned by the library.
    for kind, lightness, value in (("grey", 49.5, 118), ("white", 96.0, 243)):
        card = Color("srgb-linear", [REFLECTS[kind]] * 3)
        assert card.convert("lab-d65")["lightness"] == pytest.approx(lightness, abs=0.05)
        assert round(card.convert("srgb")["red"] * 255) == value
        scene = np.full((60, 120, 3), value, dtype=np.uint8)
        found = wood_colour(saved(Image.fromarray(scene)), (30, 30), (90, 30), kind)
        assert found.rgb == (value, value, value)


def warned(scene: np.ndarray, kind="white", card=CARD, wood=WOOD) -> str:
    return " ".join(wood_colour(saved(Image.fromarray(encoded(scene))), card, wood, kind).warnings)


def test_what_makes_a_photo_doubtful_is_told_with_what_to_do():
    tan, white = in_light(NAMED["tan"], (0.8, 0.8, 0.8)), grey(0.9) * 0.8
    assert warned(photo(tan, white)) == ""
    half_full = photo(tan, white)
    half_full[140:145, :200] = 1.0
    assert "Part of the card is overexposed" in warned(half_full)
    assert "The card is dark" in warned(photo(tan * 0.04, white * 0.04))
    uneven = photo(tan, white) * np.linspace(1.1, 0.6, 400)[None, :, None]
    assert "light is uneven" in warned(uneven)
    printed = photo(tan, white)
    printed[:, 100:] = white * 0.5
    assert "card is not of one colour" in warned(printed)
    joint = photo(tan, white)
    joint[:, 300:] = in_light(NAMED["maroon"], (0.8, 0.8, 0.8))
    assert "wood is not of one piece" in warned(joint)
    glossy = photo(tan, white)
    glossy[148:150, 200:] = 1.0
    assert "gloss on the wood" in warned(glossy)
    assert "lighter than the card can be" in warned(photo(tan, white * 0.3))


@each(
    ("words", "card_light", "wood_light", "card", "wood"),
    [
        ("card is overexposed.*darker", 1.0, 0.3, CARD, WOOD),
        ("wood is overexposed.*darker", 0.7, 1.0, CARD, WOOD),
        ("card is black.*more light", 0.001, 0.3, CARD, WOOD),
        ("place of the wood lies outside the photo. Tap the wood", 0.7, 0.3, CARD, (500, 20)),
        ("place of the card lies outside the photo. Tap the card", 0.7, 0.3, (-1, 20), WOOD),
        ("tapped at the same place. Tap the middle of each", 0.7, 0.3, CARD, (105, 150)),
    ],
)
def test_what_says_nothing_is_refused_with_what_to_do(words, card_light, wood_light, card, wood):
    data = saved(Image.fromarray(encoded(photo(grey(wood_light), grey(card_light)))))
    with pytest.raises(PlannerError, match=words):
        wood_colour(data, card, wood)


def test_a_red_thing_is_no_card():
    data = saved(Image.fromarray(encoded(photo(grey(0.3), np.array([0.6, 0.01, 0.01])))))
    with pytest.raises(PlannerError, match=r"of a strong colour\. Tap the white or grey card"):
        wood_colour(data, CARD, WOOD)


def test_what_is_no_photo_or_no_card_is_refused():
    with pytest.raises(PictureError, match="damaged or no picture"):
        wood_colour(b"wood", CARD, WOOD)
    with pytest.raises(PlannerError, match="neither white nor grey"):
        wood_colour(saved(Image.new("RGB", (400, 300))), CARD, WOOD, "green")
    clear = Image.new("RGBA", (400, 300), (200, 200, 200, 0))
    with pytest.raises(PlannerError, match="nothing in the photo at the place of the card"):
        wood_colour(saved(clear), CARD, WOOD)


@each("places", [((0, 0), (400, 300)), ((400, 0), (0, 300)), ((0.2, 299.9), (399, 1))])
def test_a_tap_at_the_very_edge_is_taken(places):
    scene = np.full((300, 400, 3), 150, dtype=np.uint8)
    assert wood_colour(saved(Image.fromarray(scene)), *places, "white").rgb == (243, 243, 243)


def test_a_photo_turned_by_its_camera_is_tapped_upright():
    upright = encoded(photo(in_light(NAMED["peru"], (0.8, 0.8, 0.8)), grey(0.9) * 0.8))
    exif = Image.Exif()
    exif[0x0112] = 6
    lying = Image.fromarray(np.rot90(upright))
    data = saved(lying, "PNG", exif=exif)
    assert difference(wood_colour(data, CARD, WOOD).rgb, NAMED["peru"]) < 1


def test_the_copy_that_is_shown_is_small_upright_bare_and_as_light_as_the_photo():
    # Grain of 256 shades, each encoded once.
    shades = encoded(in_light(NAMED["sienna"], (0.8, 0.8, 0.8)) * (1 + 0.5 * np.linspace(-1, 1, 256)[:, None]))
    scene = np.empty((2400, 3200, 3), dtype=np.uint8)
    scene[:, :1600] = encoded(grey(0.9) * 0.8)
    scene[:, 1600:] = shades[np.random.default_rng(5).integers(0, 256, (2400, 1600), dtype=np.uint8)]
    exif = Image.Exif()
    exif[0x010E] = "where it was taken"
    data = saved(Image.fromarray(scene), "PNG", exif=exif, compress_level=1)
    copy = shown_copy(data)
    with Image.open(io.BytesIO(copy)) as image:
        assert image.size == (1066, 800) and image.mode == "RGB" and not image.getexif() and not image.info
    assert difference(wood_colour(copy, (266, 400), (800, 400)).rgb, NAMED["sienna"]) < 1


def test_a_small_photo_is_copied_as_it_is_and_a_sliver_too():
    small = np.random.default_rng(2).integers(0, 256, (30, 40, 3), dtype=np.uint8)
    assert (np.asarray(Image.open(io.BytesIO(shown_copy(saved(Image.fromarray(small)))))) == small).all()
    with Image.open(io.BytesIO(shown_copy(saved(Image.new("RGB", (2000, 1)))))) as sliver:
        assert sliver.size == (1000, 1)


# Browns as they age, and what CIEDE2000 says of them by the library; the words are settled by the limits alone.
@each(
    ("first", "later", "seen", "ways"),
    [
        ((97, 60, 40), (97, 60, 40), "not to be seen", ()),
        ((97, 60, 40), (97, 60, 41), "not to be seen", ()),
        ((97, 60, 40), (100, 63, 43), "hardly to be seen", ("lighter",)),
        ((97, 60, 40), (104, 67, 47), "seen beside each other", ("lighter",)),
        ((97, 60, 40), (112, 73, 47), "plain beside each other", ("lighter",)),
        ((166, 72, 42), (112, 52, 38), "like another wood", ("darker", "paler in colour")),
        ((200, 150, 110), (200, 158, 96), "plain beside each other", ("yellower", "stronger in colour")),
        ((200, 158, 96), (200, 150, 110), "plain beside each other", ("redder", "paler in colour")),
    ],
)
def test_how_far_a_later_sample_is_from_the_first_is_said_in_words(first, later, seen, ways):
    found = shift(first, later)
    assert found.difference == pytest.approx(difference(first, later), abs=0.01)
    assert (found.seen, found.ways) == (seen, ways)


def test_from_eight_on_two_samples_are_as_far_apart_as_woods_that_carry_an_edge():
    assert SEEN[-1][0] == EDGE_FROM
    limits = [most for most, _ in SEEN]
    assert limits == sorted(limits) and len({*(words for _, words in SEEN), SEEN_BEYOND}) == 5


def test_a_hue_that_no_wood_has_is_not_called_red_or_yellow():
    assert shift((40, 60, 120), (60, 50, 120)).ways != ()
    assert not {"redder", "yellower"} & set(shift((40, 60, 120), (60, 50, 120)).ways)
