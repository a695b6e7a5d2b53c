"""The page's fonts as a set-up cuts them."""

from __future__ import annotations

import pytest

from shopapp.webfonts import write_web_fonts


@pytest.fixture(scope="session")
def web_fonts(once, tmp_path_factory) -> dict[str, bytes]:
    """What was cut, by the name of each file: seconds of work, done once in a run."""

    def cut() -> dict[str, bytes]:
        folder = tmp_path_factory.mktemp("web") / "fonts"
        write_web_fonts(folder)
        return {file.name: file.read_bytes() for file in folder.iterdir()}

    return once("web fonts", cut)
