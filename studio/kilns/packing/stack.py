"""How high the shelves stand: posts between layers, and an open layer on top.

Σ(shelf + post) over the layers below the top + shelf + tallest pot on top + headroom must be no
more than the kiln's usable height.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from .inputs import Furniture
from .tolerances import SAME_MM


@dataclass(frozen=True)
class Standing:
    """A layer that stands already. `need_mm` is its tallest pot with headroom, 0 when empty."""

    post_mm: float | None
    need_mm: float


@dataclass(frozen=True)
class Stack:
    """Posts of the standing layers, then of the new ones from bottom to top in `order`."""

    posts_mm: tuple[float | None, ...]
    order: tuple[int, ...]
    height_mm: float


def lowest_post_mm(furniture: Furniture, need_mm: float) -> float | None:
    """The lowest post that leaves a layer so much room; None when none is long enough."""
    return min((post for post in furniture.posts_mm if post >= need_mm - SAME_MM), default=None)


def stack(
    furniture: Furniture, standing: Sequence[Standing], new_mm: Sequence[float]
) -> Stack | None:
    """The lowest stack of standing layers and new ones that need so much room each.

    Standing layers keep their order and their posts. Of the new ones, the one that gains most by
    needing no post comes on top. None where posts are too short or the kiln too low.
    """
    if not standing and not new_mm:
        return Stack((), (), 0.0)
    posts = [each.post_mm for each in standing]
    if any(each.post_mm is not None and each.need_mm > each.post_mm + SAME_MM for each in standing):
        return None
    if new_mm and standing and posts[-1] is None:
        posts[-1] = lowest_post_mm(furniture, standing[-1].need_mm)
        if posts[-1] is None:
            return None
    new_posts = [lowest_post_mm(furniture, need) for need in new_mm]
    gains = [float("inf") if p is None else p - n for p, n in zip(new_posts, new_mm, strict=True)]
    order = list(range(len(new_mm)))
    if order:
        top = max(order, key=lambda n: gains[n])
        order.remove(top)
        if any(new_posts[n] is None for n in order):
            return None
        posts += [new_posts[n] for n in order] + [None]
        order.append(top)
    open_mm = new_mm[order[-1]] if order else standing[-1].need_mm
    below = sum(post for post in posts[:-1] if post is not None)
    height = below + furniture.shelf_thickness_mm * len(posts) + open_mm
    if height > furniture.usable_height_mm + SAME_MM:
        return None
    return Stack(tuple(posts), tuple(order), height)
