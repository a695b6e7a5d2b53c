"""The page's fonts are cut once, hold the marks of the trade, and are cut anew when what they come from changes."""

from __future__ import annotations

import pytest
from fontTools.ttLib import TTFont

from shopapp import webfonts


@pytest.fixture(scope="module")
def folder(web_fonts, tmp_path_factory):
    folder = tmp_path_factory.mktemp("fonts")
    for name, cut in web_fonts.items():
        (folder / name).write_bytes(cut)
    return folder


@pytest.mark.parametrize("face", webfonts.FACES)
def test_every_face_has_letters_figures_fractions_primes_and_arrows(folder, face):
    font = TTFont(folder / f"{face}.woff2")
    held = set(font.getBestCmap())
    assert not {c for c in "Aaéß0129½¼¾⅛⅜⅝⅞×–—‘’“”′″€→←≤≥−" if ord(c) not in held}
    assert font.flavor == "woff2"
    assert (folder / f"{face}.woff2").stat().st_size < 90_000


def test_what_stands_is_left_and_what_changed_is_cut_anew(folder, monkeypatch):
    cut = []
    monkeypatch.setattr(webfonts, "_write_face", lambda target, *source: cut.append(target.stem))
    webfonts.write_web_fonts(folder)
    assert cut == []
    gone = folder / "source-sans-400.woff2"
    kept = gone.read_bytes()
    gone.unlink()
    webfonts.write_web_fonts(folder)
    assert cut == ["source-sans-400"]
    gone.write_bytes(kept)
    cut.clear()
    monkeypatch.setattr(webfonts, "KEPT", [*webfonts.KEPT, 0x2318])
    webfonts.write_web_fonts(folder)
    assert cut == list(webfonts.FACES)
