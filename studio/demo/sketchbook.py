"""One student's sketchbook: their paper, hand and table, and photographs of single drawings.

Everything follows from two seeds, the student's and the drawing's. No Django here.
"""

from dataclasses import dataclass, replace

import numpy as np

from studio.demo.forms import Form
from studio.demo.paper import Page, page_of
from studio.demo.pencil import Hand, Place, drawing, hand_of
from studio.demo.photo import Shot, jpeg, photographed, table_of


@dataclass(frozen=True)
class Sketchbook:
    """What stays the same over one student's photographs."""

    page: Page
    hand: Hand
    table: str


def sketchbook_of(seed: int) -> Sketchbook:
    """Return one student's sketchbook; the same seed is the same student."""
    return Sketchbook(page_of(seed), hand_of(seed), table_of(seed))


def place_on(page: Page, form: Form, seed: int) -> Place:
    """Return where a single drawing lands on a page: near the middle, as large as it fits well."""
    rng = np.random.default_rng(seed)
    by_height = page.height_mm * rng.uniform(0.45, 0.63)
    by_width = page.width_mm * rng.uniform(0.58, 0.74) / (2 * form.half_width)
    high = float(min(by_height, by_width))
    foot = page.height_mm * rng.uniform(0.47, 0.53) + high / 2
    return Place(float(page.width_mm * rng.uniform(0.46, 0.54)), float(foot), high)


def thumbnail_photo(book: Sketchbook, form: Form, seed: int, label: str = "") -> bytes:
    """Return the JPEG of one quick drawing, 840 × 1120 px; same arguments, same bytes."""
    strokes = drawing(form, book.hand, place_on(book.page, form, seed), seed, label)
    shot = Shot(seed, table=book.table, ink=book.hand.ink)
    return jpeg(photographed(book.page, strokes, shot), quality=shot.quality)


def refinement_photo(book: Sketchbook, form: Form, seed: int, label: str = "") -> bytes:
    """Return the JPEG of a drawing that develops the choice: surer, shaded, with a centre line."""
    hand = replace(book.hand, centre_line=True, shades=True, dark=min(1.0, book.hand.dark + 0.1))
    hand = replace(hand, wobble_mm=0.6 * hand.wobble_mm, passes=max(2, hand.passes))
    return thumbnail_photo(replace(book, hand=hand), form, seed, label)
