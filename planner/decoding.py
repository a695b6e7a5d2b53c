"""Picture files are decoded whole or not at all, whatever else in the same program has asked of the decoder."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from contextlib import contextmanager

from PIL import ImageFile

_one_at_a_time = threading.RLock()


@contextmanager
def whole_files_only() -> Iterator[None]:
    """Within it a picture that breaks off is an error.

    The PDF engine, once imported, lets the decoder fill such pictures up with grey and pass over broken sums, for
    the whole program; a maker's picture would lose its lower rows without a word.

    >>> with whole_files_only():
    ...     ImageFile.LOAD_TRUNCATED_IMAGES
    False
    """
    with _one_at_a_time:
        before = ImageFile.LOAD_TRUNCATED_IMAGES
        ImageFile.LOAD_TRUNCATED_IMAGES = False
        try:
            yield
        finally:
            ImageFile.LOAD_TRUNCATED_IMAGES = before
