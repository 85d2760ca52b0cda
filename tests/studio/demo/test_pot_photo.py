import io
from itertools import pairwise

import numpy as np
import pytest
from PIL import Image

from studio.demo.pot_photo import CLAY, HEIGHT, TABLE_PX, WIDTH, PotPicture

BEAKER = [(0.0, 40.0, 40.0), (60.0, 44.0, 42.0), (120.0, 38.0, 38.0)]


def pixels(stage: str, key: str = "one") -> np.ndarray[tuple[int, ...], np.dtype[np.float64]]:
    photo = PotPicture(key, BEAKER, stage).photo()
    return np.asarray(Image.open(io.BytesIO(photo)), dtype=float)


def test_a_second_load_takes_the_same_picture_and_another_pot_another() -> None:
    taken = PotPicture("one", BEAKER, "wet").photo()
    assert taken == PotPicture("one", BEAKER, "wet").photo()
    assert taken != PotPicture("two", BEAKER, "wet").photo()


@pytest.mark.parametrize("stage", [*CLAY, "glaze_fired"])
def test_the_pot_stands_on_the_table_in_the_middle(stage: str) -> None:
    picture = pixels(stage)
    assert picture.shape == (HEIGHT, WIDTH, 3)
    body = picture[TABLE_PX - 200 : TABLE_PX - 60, WIDTH // 2 - 60 : WIDTH // 2 + 60]
    cloth = picture[TABLE_PX - 200 : TABLE_PX - 60, :40]
    assert np.abs(body.mean(axis=(0, 1)) - cloth.mean(axis=(0, 1))).max() > 20


def test_clay_gets_paler_as_it_dries() -> None:
    """Common practice, no source: wet clay is dark, bone-dry clay is pale."""
    middle = [
        pixels(stage)[TABLE_PX - 150, WIDTH // 2 - 80 : WIDTH // 2].mean()
        for stage in ("wet", "leather_hard", "bone_dry")
    ]
    assert all(later > before for before, later in pairwise(middle))
