"""A stranger's photo, opened no larger than it is looked at. No Django."""

from dataclasses import dataclass
from typing import IO

from PIL import Image

from studio.uploads.decode import FULL_PX, picture


@dataclass(frozen=True)
class Opened:
    """`sent` is its width and height as it was sent, upright; of a PDF as it is rendered here."""

    image: Image.Image
    sent: tuple[int, int]
    focal_35mm: float | None

    @property
    def shrink(self) -> float:
        """How many times as large as it was sent; by the longer side, since the shorter one was
        rounded."""
        return max(self.image.size) / max(self.sent)


def opened(source: IO[bytes], long_px: int = FULL_PX) -> Opened:
    """Upright, its longer side at most so many pixels. Raises NotTaken."""
    image, kind, focal_35mm = picture(source, long_px)
    sent = image.size if kind == "pdf" else _upright_size(source, image.size)
    return Opened(image, sent, focal_35mm)


def _upright_size(source: IO[bytes], opened_as: tuple[int, int]) -> tuple[int, int]:
    source.seek(0)
    with Image.open(source) as image:  # its header only
        wide, high = image.size
    on_its_side = (wide > high) != (opened_as[0] > opened_as[1]) and wide != high
    return (high, wide) if on_its_side else (wide, high)
