"""A load in a kiln that has so many shelves, and so many posts of each height. Pure.

`packing.place_into` knows heights of posts, not how many there are. Here its new layers get the
posts that are left, and what can't be held up that way is left out.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from .packing.inputs import Furniture, Layer, Piece
from .packing.load import place_into
from .packing.parts import parted, posts_in
from .packing.tolerances import FILLING_PAIRS, SAME_MM

TRIES = 4
"""Orders that are tried: a person waits for the answer, and three of four gain nothing."""


@dataclass(frozen=True)
class Stock:
    """`posts` are (height in mm, how many shelves they can hold up at once, whole or half)."""

    shelves: int
    posts: tuple[tuple[float, int], ...]
    half_shelves: int = 0


@dataclass(frozen=True)
class Furnished:
    """Layers in the order of a load; `left_out` is a reason by id: a `packing.load.Reason`, or
    `no_shelf` when shelves or posts ran out."""

    layers: tuple[Layer, ...]
    left_out: dict[str, str]


def furnished(
    furniture: Furniture,
    stock: Stock,
    pieces: Sequence[Piece],
    layers: Sequence[Layer] = (),
    fullest: bool = False,
    *,
    tries: int = TRIES,
    pairs: int = FILLING_PAIRS,
) -> Furnished:
    """Places the pots that stand in none of the layers, all of whole shelves; the others never
    move. Most urgent first.

    `fullest`, `tries` and `pairs`: where too many wait, and how hard is tried, as `packing.load`
    says; a plan that has other firings for those left out asks for the fewest instead. Raises
    KilnRefused for what `place_into` refuses.
    """
    if not pieces:
        return Furnished(tuple(layers), {})
    left = posts_left(stock, posts_in(layers))
    whole = replace(furniture, posts_mm=tuple(height for height, sets in left if sets > 0))
    load = place_into(whole, pieces, layers, tries, fullest, pairs=pairs)
    left_out: dict[str, str] = {each.id: each.reason for each in load.unplaced}
    standing, new = load.layers[: len(layers)], list(load.layers[len(layers) :])
    if not new:
        return Furnished(tuple(standing), left_out)
    held = [
        replace(now, post_mm=before.post_mm) for now, before in zip(standing, layers, strict=True)
    ]
    tall = {each.id: each.height_mm for each in pieces}
    rank = {each.id: place for place, each in enumerate(pieces)}
    while new:
        stacked = _stacked(furniture, stock, held, new, tall)
        if stacked is not None:
            return Furnished(stacked, left_out)
        least = max(new, key=lambda layer: min(rank[each.id] for each in layer.placements))
        new.remove(least)
        left_out |= {each.id: "no_shelf" for each in least.placements}
    return Furnished(tuple(held), left_out)


def trimmed(layers: Sequence[Layer]) -> tuple[Layer, ...]:
    """Without empty layers on top, of the halves first; what is then on top stands open."""
    found = parted(layers)
    left, right = _trimmed(found.left), _trimmed(found.right)
    if not left and not right:
        return _trimmed(found.whole)
    *below, last = found.whole
    left_mm, right_mm = last.post_mm if left else None, last.right_post_mm if right else None
    return (*below, replace(last, post_mm=left_mm, right_post_mm=right_mm), *left, *right)


def _trimmed(layers: Sequence[Layer]) -> tuple[Layer, ...]:
    kept = list(layers)
    while kept and not kept[-1].placements:
        kept.pop()
    if not kept:
        return ()
    return (*kept[:-1], replace(kept[-1], post_mm=None, right_post_mm=None))


def with_new_top(
    furniture: Furniture, stock: Stock, layers: Sequence[Layer], tall: dict[str, float]
) -> tuple[Layer, ...] | None:
    """With an empty layer on top; what was open there gets the lowest posts left that clear its
    pots. None where no shelf is left, or no such posts. `layers` are whole and aren't empty.
    """
    if len(layers) >= stock.shelves:
        return None
    left = posts_left(stock, posts_in(layers[:-1]))
    post_mm = lowest_left_mm(left, need_mm(layers[-1], tall, furniture))
    if post_mm is None:
        return None
    return (*layers[:-1], replace(layers[-1], post_mm=post_mm), Layer(None, ()))


def raised(
    furniture: Furniture,
    stock: Stock,
    layers: Sequence[Layer],
    number: int,
    tall: dict[str, float],
) -> tuple[Layer, ...]:
    """With higher posts on a layer whose pots have become too tall for its own: the lowest that are
    left and clear them. Unchanged where they do already, or where no such posts are left. All
    `layers` are whole ones.
    """
    layer, others = layers[number], [*layers[:number], *layers[number + 1 :]]
    needed_mm = need_mm(layer, tall, furniture)
    if layer.post_mm is None or layer.post_mm >= needed_mm - SAME_MM:
        return tuple(layers)
    left = posts_left(stock, (each.post_mm for each in others))
    post_mm = lowest_left_mm(left, needed_mm)
    if post_mm is None:
        return tuple(layers)
    return (*layers[:number], replace(layer, post_mm=post_mm), *layers[number + 1 :])


def stack_mm(furniture: Furniture, layers: Sequence[Layer], tall: dict[str, float]) -> float:
    """How high the shelves, posts and the pots on top reach, headroom included, in one column."""
    if not layers:
        return 0.0
    posts = sum(each.post_mm or 0.0 for each in layers[:-1])
    return posts + len(layers) * furniture.shelf_thickness_mm + need_mm(layers[-1], tall, furniture)


def need_mm(layer: Layer, tall: dict[str, float], furniture: Furniture) -> float:
    """Room for the tallest pot of a layer, headroom included; 0 where none stands."""
    highest = max((tall[each.id] for each in layer.placements), default=None)
    return 0.0 if highest is None else highest + furniture.headroom_mm


def _stacked(
    furniture: Furniture,
    stock: Stock,
    held: Sequence[Layer],
    new: Sequence[Layer],
    tall: dict[str, float],
) -> tuple[Layer, ...] | None:
    """The lowest stack of standing layers and new ones on top; None where none stands up."""
    if len(held) + len(new) > stock.shelves:
        return None
    best: tuple[Layer, ...] | None = None
    for top in range(len(new)):
        order = [*held, *new[:top], *new[top + 1 :]]
        posted = _posted(furniture, stock, order, len(held), tall)
        if posted is None:
            continue
        stack = (*posted, replace(new[top], post_mm=None))
        high = stack_mm(furniture, stack, tall)
        if high > furniture.usable_height_mm + SAME_MM:
            continue
        if best is None or high < stack_mm(furniture, best, tall) - SAME_MM:
            best = stack
    return best


def _posted(
    furniture: Furniture,
    stock: Stock,
    order: Sequence[Layer],
    standing: int,
    tall: dict[str, float],
) -> list[Layer] | None:
    """Posts under the layer above each of these. Standing ones keep theirs, but for an open one
    on top. The layer that needs most chooses first: what serves it serves fewest others.
    """
    fixed = [place < standing and each.post_mm is not None for place, each in enumerate(order)]
    kept = (each.post_mm for each, stays in zip(order, fixed, strict=True) if stays)
    left = dict(posts_left(stock, kept))
    posted = list(order)
    free = [place for place, stays in enumerate(fixed) if not stays]
    for place in sorted(free, key=lambda n: -need_mm(order[n], tall, furniture)):
        post_mm = lowest_left_mm(left.items(), need_mm(order[place], tall, furniture))
        if post_mm is None:
            return None
        left[post_mm] -= 1
        posted[place] = replace(order[place], post_mm=post_mm)
    return posted


def lowest_left_mm(left: Iterable[tuple[float, int]], need_mm: float) -> float | None:
    """Of posts of which some are left, the lowest that give so much room."""
    fits = (height for height, sets in left if sets > 0 and height >= need_mm - SAME_MM)
    return min(fits, default=None)


def posts_left(stock: Stock, used: Iterable[float | None]) -> list[tuple[float, int]]:
    """(height in mm, how many shelves they can still hold up), without those that are used."""
    taken = list(used)
    return [(height, sets - taken.count(height)) for height, sets in stock.posts]
