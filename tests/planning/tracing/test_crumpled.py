"""Ruled paper that was folded and crumpled, lit from the side, photographed at 14°."""

from functools import partial

import pytest

from planning.tracing.drawing import Traced, traced_drawing

from .crumpled import crumple
from .drawn import Drawn, Sheet, drawn
from .measuring import missed
from .scene import Camera


def read(size_mm: float, seed: int) -> tuple[Traced, Drawn]:
    more = partial(crumple, size_mm=size_mm, seed=seed)
    sheet = Sheet(height_mm=260, widest_mm=80, ruled_mm=8, more=more)
    camera = Camera(3000, tilt_deg=14, towards_deg=70 * seed, shadow=0.45, noise=4)
    truth = drawn(sheet, camera, seed)
    return traced_drawing(truth.photo.gray, spacing_mm=20), truth


@pytest.mark.parametrize("seed", [1, pytest.param(3, marks=pytest.mark.slow)])
def test_paper_with_dents_of_a_millimetre_is_read_as_well_as_flat_paper(seed: int) -> None:
    """To the tolerance that rendered drawings on flat paper are held to."""
    traced, truth = read(1.0, seed)
    miss = missed(traced, truth, axis=True)
    assert miss.rms_mm < 0.5
    assert miss.most_mm < 1.5
    assert miss.height_mm < 1


def test_paper_with_dents_of_two_millimetres_is_not_trusted() -> None:
    traced, _truth = read(2.0, 1)
    assert not traced.trusted
