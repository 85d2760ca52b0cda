"""Boxes of a sheet cut in two, in the gap between their drawings where the photo shows one."""

from collections.abc import Collection, Sequence

from django.core.files.storage import default_storage

from planning.splitting.boxes import Box, in_two, least_side, within
from studio.uploads.models import StoredImage
from studio.uploads.reading import Unreadable

from .asking import answer_on_photo


def with_halves(
    image: StoredImage, boxes: Sequence[Sequence[float]], places: Collection[int], *, look: bool
) -> list[Sequence[float]]:
    """The boxes, each at one of `places` as two. In their middle where the photo isn't there or we
    don't `look`."""
    wide, high = image.width or 1, image.height or 1
    cut = [within(boxes[place], wide, high) for place in sorted(places)]
    looked = _seen(image, cut) if look else None
    halves = looked or [in_two(box, least_side(wide, high)) for box in cut]
    of_place = dict(zip(sorted(places), halves, strict=True))
    return [half for n, box in enumerate(boxes) for half in of_place.get(n, [box])]


def _seen(image: StoredImage, boxes: list[Box]) -> list[list[Box]] | None:
    try:
        with default_storage.open(image.full_file) as file:
            told = answer_on_photo("planning.photos.halving_child", file.chunks(), boxes)
    except (FileNotFoundError, Unreadable):
        return None
    return list(told["halves"])
