"""Outlines from outside the project (`tests/data/README.md` says from where), and photographs of
whole sketchbook pages."""

import io
from collections.abc import Iterator
from pathlib import Path

import numpy as np
from PIL import Image

from studio.demo.forms import forms_from, varied
from studio.demo.sketchbook import sketchbook_of, thumbnail_photo
from tests.planning.exploration.ideas import Array, unit

ROOT = Path(__file__).parents[2]
ICONS = ("tabler", "mdi")
LIVING = ("living", "wing")


def outlines(sources: tuple[str, ...]) -> list[Array]:
    with np.load(ROOT / "tests/data/outlines.npz") as data:
        names, points = data["names"], data["points"].astype(float)
    return [
        unit(outline)
        for name, outline in zip(names, points, strict=True)
        if name.split("/")[0] in sources
    ]


def sketchbooks(students: int, each: int, seed: int = 500) -> Iterator[tuple[int, bool, Array]]:
    """Photos of pages as a class makes them, with the number of the form drawn on each."""
    forms = list(forms_from(ROOT / "fixtures/forms.toml").values())
    for student in range(students):
        rng = np.random.default_rng((seed, student))
        book = sketchbook_of(seed + student)
        for page, form in enumerate(rng.choice(len(forms), each, replace=False)):
            at = 1000 * student + page
            label = forms[form].name if page % 3 == 0 else ""
            photo = thumbnail_photo(book, varied(forms[form], at, 0.14), at, label)
            yield int(form), False, np.asarray(Image.open(io.BytesIO(photo)).convert("L"))
