"""Parts in proportion: from what is written and drawn on the sheets every part's count and size at every stage is
rebuilt and is the record's, and every piece and section is as large as it says."""

from __future__ import annotations

import re
from collections import Counter
from fractions import Fraction
from functools import cache

import pytest

from planner.build import STAGES, along_of, part_words
from planner.drawing.marking import PAPER, PHONE, SCREEN
from planner.drawing.working import parts_svgs
from tests.planner.drawing.working.boards import SEEDS, looks_of, record_of, says, unit_of
from tests.planner.drawing.working.measured import Measured
from tests.support.each import each

ROOMS = {"paper": PAPER, "screen": SCREEN, "phone": PHONE}
CLOSE = 0.1


@cache
def svgs_of(seed, room):
    record = record_of(seed)
    return parts_svgs(record, looks_of(record), unit_of(seed), room=room)


def pages_of(seed, room=PAPER):
    return record_of(seed), [Measured(svg) for svg in svgs_of(seed, room)]


def count_of(part, record):
    return part["count"] * (1 if part.get("for_all") else record["spec"]["quantity"])


@each("room", ROOMS)
@each("seed", SEEDS)
def test_every_kind_of_part_is_drawn_once_as_large_as_it_leaves_the_saw(seed, room):
    record, pages = pages_of(seed, ROOMS[room])
    pieces = [(page, path) for page in pages for path in page.paths("part")]
    assert sorted(int(path.get("data-part")) for _, path in pieces) == list(range(len(record["parts"])))
    for page, path in pieces:
        part = record["parts"][int(path.get("data-part"))]
        long, wide = (Fraction(text) for text in part["stages"]["crosscut"][:2])
        assert path.get("data-mm") == f"{long} {wide}"
        assert int(path.get("data-count")) == count_of(part, record)
        scale = float(path.get("data-scale"))
        ((_, _, drawn_long, drawn_wide),) = page.rectangles(path)
        assert (drawn_long / scale, drawn_wide / scale) == pytest.approx((float(long), float(wide)), abs=CLOSE)
        # It is filled with its wood.
        assert path.get("d") in next(p.get("d") for p in page.paths(f"wood {part['wood']}"))


@each("seed", SEEDS)
def test_every_section_is_as_large_as_it_says(seed):
    record, pages = pages_of(seed)
    sizes = {
        (stage, part["stages"][stage][1], part["stages"][stage][2]) for part in record["parts"] for stage in STAGES
    }
    drawn = set()
    for page in pages:
        for path in page.paths("section"):
            wide, thick = path.get("data-mm").split()
            drawn.add((path.get("data-stage"), wide, thick))
            ((_, _, across, high),) = page.rectangles(path)
            scale = float(path.get("data-scale"))
            assert (across / scale, high / scale) == pytest.approx(
                (float(Fraction(wide)), float(Fraction(thick))), abs=CLOSE
            )
    # Strips of panels differ in their widths, which are told one by one.
    assert drawn == (set() if record["panels"] else sizes)


def _is_wood(text):
    return re.fullmatch(r".+, (\d+ kinds?, \d+ pieces?|continued)", text) is not None


class Reader:
    """Reads the sheets as a maker does, line by line: the wood and the stages last told hold for what follows."""

    def __init__(self, pages):
        self.rows, self.shared, self.wood, self.heads = [], {}, "", []
        for page in pages:
            lines = {}
            for word in page.words():
                lines.setdefault(round(word.bottom, 2), []).append(word)
            # The note over everything is set apart by the first bold line.
            bold = min(word.bottom for word in page.words() if word.text.startswith("Strips") or _is_wood(word.text))
            for bottom, words in sorted(lines.items()):
                if bottom > bold - 0.1:
                    self._line(sorted(words, key=lambda word: word.left))

    def _line(self, words):
        texts = [word.text.replace("\u00a0\u00a0", " ") for word in words]
        if texts == list(STAGES):
            self.shared, self.middles = {}, [(word.left + word.right) / 2 for word in words]
        elif texts[0] in ("long", "wide", "thick") and len(texts) > 1 and texts[1] not in STAGES:
            for word, text in zip(words[1:], texts[1:], strict=True):
                middle = (word.left + word.right) / 2
                stage = min(zip(self.middles, STAGES, strict=True), key=lambda one: abs(one[0] - middle))[1]
                self.shared[stage, texts[0]] = text
        elif _is_wood(texts[0]):
            self.wood = texts[0].split(", ")[0]
        elif re.fullmatch(r"\d+ ×", texts[0]):
            count, *rest = texts
            name = rest[: len(rest) - len(self.heads)] if len(rest) > len(self.heads) else rest
            sizes = rest[len(name) :]
            self.rows.append([self.wood, int(count[:-2]), " ".join(name), sizes, dict(self.shared)])
        elif texts[-1] == "finished":
            self.heads = texts[1:] if texts[0].startswith("How") else texts
        elif self.rows and self.heads and not texts[0].startswith(("Strips", "1 :", "How")):
            # A name, or the sizes, that go on in a line of their own.
            row = self.rows[-1]
            if len(texts) == len(self.heads) and not row[3]:
                row[3] = texts
            else:
                row[2] = f"{row[2]} {' '.join(texts)}"

    def parts(self):
        for wood, count, name, sizes, shared in self.rows:
            told = dict(zip(self.heads, sizes, strict=True))
            stages = {}
            for stage in STAGES:
                if len(self.heads) == 2:
                    long = told["finished" if stage == "finished" else "crosscut"]
                    stages[stage] = (long, shared[stage, "wide"], shared[stage, "thick"])
                else:
                    long = shared["finished", "long"] if stage == "finished" else told["long"]
                    # What is crosscut is as wide as it was gauged.
                    wide = told["gauged" if stage == "crosscut" else stage]
                    stages[stage] = (long, wide, shared[stage, "thick"])
            yield wood, count, name, tuple(stages[stage] for stage in STAGES)


@each("room", ROOMS)
@each("seed", SEEDS)
def test_the_words_alone_give_every_part_back_with_its_count_and_its_size_at_every_stage(seed, room):
    record, pages = pages_of(seed, ROOMS[room])
    names = {wood["wood"]: wood["name"] for wood in record["woods"]}
    expected = Counter(
        (
            names[part["wood"]],
            count_of(part, record),
            part_words(part, along_of(record)),
            tuple(tuple(says(size, unit_of(seed)) for size in part["stages"][stage]) for stage in STAGES),
        )
        for part in record["parts"]
    )
    assert Counter(Reader(pages).parts()) == expected


@each("seed", SEEDS)
def test_what_is_said_aloud_has_every_part_too(seed):
    record, pages = pages_of(seed)
    said = " ".join(page.said for page in pages)
    for part in record["parts"]:
        assert f"{count_of(part, record)} × {part_words(part, along_of(record))}: " in said
    copies = record["spec"]["quantity"]
    assert (f"for all {copies} boards" if copies > 1 else "for one board") in " ".join(pages[0].texts())


@each("seed", SEEDS)
def test_pieces_are_dashed_as_far_from_their_ends_and_edges_as_is_trimmed(seed):
    """What is trimmed is the place in the blank less the finished size."""
    record, pages = pages_of(seed)
    for page in pages:
        for path in page.paths("part"):
            part = record["parts"][int(path.get("data-part"))]
            ((x, y, long, _),) = page.rectangles(path)
            scale = float(path.get("data-scale"))
            kind = f"trim {part['wood']}"
            upright = [
                (at - x) / scale for at, top, _ in page.uprights(kind) if abs(top - y) < 0.01 and x < at < x + long
            ]
            trims = Fraction(part["place"][0]) - Fraction(part["stages"]["finished"][0])
            if record["panels"] or not trims:
                assert not upright
                continue
            both = part["kind"].startswith("through") or part["kind"] == "top or bottom border"
            ends = [trims / 2, Fraction(part["stages"]["crosscut"][0]) - trims / 2] if both else [trims]
            assert sorted(upright) == pytest.approx([float(end) for end in ends], abs=CLOSE)


def test_many_kinds_go_on_in_more_drawings_each_with_its_wood_over_it():
    seed = max(SEEDS, key=lambda seed: len(record_of(seed)["parts"]))
    _, pages = pages_of(seed)
    assert len(pages) > 1 and any("continued" in text for page in pages[1:] for text in page.texts())
    titles = [page.root.get("aria-label") for page in pages]
    assert titles[0].endswith(f"1 of {len(pages)}") and len(set(titles)) == len(pages)
