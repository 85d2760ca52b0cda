"""Photos of sheets of forms cut from paper, and where each of them is."""

import numpy as np

from tests.planning.exploration.ideas import Array, redrawn
from tests.planning.exploration.solids import away, background, lay, mask_of, other_tone, taken

from .sheets import Sheet, made_up

SIZE = (2000, 1500)


def cut_sheet(seed: int) -> Sheet:
    """The photo of four to twelve forms in loose rows, all of them darker or all of them lighter
    than what they lie on; the same seed, the same."""
    rng = np.random.default_rng((seed, 78))
    count = int(rng.integers(4, 13))
    scene = background(SIZE, rng)
    tone = other_tone(float(scene.mean()), rng)
    columns = int(rng.integers(2, 5))
    size = np.array((SIZE[1] / columns, SIZE[0] / -(-count // columns)))
    far = away(rng)
    boxes: list[Array] = []
    for number in range(count):
        line = redrawn(made_up(1000 * seed + number), rng, 0.5, 0.5)
        line = line * rng.uniform(0.5, 0.78) * float((size / np.ptp(line, axis=0)).min())
        span = np.ptp(line, axis=0)
        corner = size * (number % columns, number // columns)
        corner = corner + rng.uniform(0.12, 0.88, 2) * (size - span)
        own = float(np.clip(tone + rng.normal(0, 0.03), 0.05, 0.97))
        form = mask_of(scene.shape, line - line.min(axis=0) + corner)
        lay(scene, form, np.full_like(scene, own), far, rng)
        boxes.append(np.concatenate((corner, span)))
    return Sheet(taken(scene, rng), np.array(boxes), "cut paper")
