"""Pages laid together as a student does it: by the numbered crosses."""

import re
from functools import cache

import numpy as np

from tests.studio.paper.measuring import Print

from .vectors import Floats, Path, paths

RING_MM = 2.5


def registers(read: Print, page: int) -> dict[int, Floats]:
    """The middle of each ring with a cross, by the number that stands right above it."""
    rings = [
        (path.points[:-1].mean(axis=0))
        for path in paths(read, page)
        if len(path.points) > 50
        and np.allclose(np.ptp(path.points, axis=0), 2 * RING_MM, atol=0.05)
    ]
    found = {}
    for middle in rings:
        text = read.texts[page]
        high = read.sizes_mm[page][1]
        # A box up and to the right of the ring's middle.
        left, top = middle[0] + 2.0, middle[1] - 5.6
        box = [left, high - (top + 3.4), left + 4.2, high - top]
        said = text.get_text_bounded(*(each / 25.4 * 72 for each in box))
        number = re.search(r"\d+", said)
        assert number is not None, f"a cross without its number on page {page + 1}: {said!r}"
        found[int(number.group())] = middle
    return found


def joined(read: Print) -> list[Floats]:
    """Where each page's corner lies when the first one's lies at (0, 0). Every pair of crosses
    must agree to 0.02 mm, and every page must hang on another."""
    found = [registers(read, page) for page in range(len(read.sizes_mm))]
    corners: dict[int, Floats] = {0: np.zeros(2)}
    while len(corners) < len(found):
        page, by = next(
            (page, by)
            for page in range(len(found))
            if page not in corners
            for by in corners
            if found[page].keys() & found[by].keys()
        )
        shared = found[page].keys() & found[by].keys()
        corners[page] = corners[by] + np.mean(
            [found[by][number] - found[page][number] for number in shared], axis=0
        )
    for one, middles in enumerate(found):
        for other in range(one):
            for number in middles.keys() & found[other].keys():
                apart = corners[one] + middles[number] - corners[other] - found[other][number]
                assert np.hypot(*apart) < 0.02
    return [corners[page] for page in range(len(found))]


@cache
def all_paths(read: Print) -> list[Path]:
    """The lines of all pages, laid together."""
    return [
        Path(path.points + corner, path.width)
        for page, corner in enumerate(joined(read))
        for path in paths(read, page)
    ]
