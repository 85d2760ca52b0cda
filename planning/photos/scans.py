"""A scan of many pages in, some of its pages as upright pictures out, with what their codes say."""

import io
import tempfile
from collections.abc import Iterable, Iterator, Sequence
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from typing import IO, Final, Literal

from django.core.files.base import ContentFile, File
from PIL import Image

from studio.uploads.child import answer_of_child
from studio.uploads.reading import Picture, Unreadable

# Beside the bound on processor time that the child sets itself; less than a job's lease.
TIMEOUT_SECONDS: Final = 90

Top = Literal["top", "bottom", "left", "right"]
_UPRIGHT: Final = {
    "bottom": Image.Transpose.ROTATE_180,
    "left": Image.Transpose.ROTATE_270,  # Pillow turns counter-clockwise
    "right": Image.Transpose.ROTATE_90,
}


@dataclass(frozen=True)
class PageRead:
    """One page as a picture, with the texts of its codes; or why it has none."""

    number: int
    picture: Picture | None
    codes: Sequence[str] = ()
    refused: str = ""


@dataclass(frozen=True)
class PagesRead:
    """How many pages there are in all, and those that were asked for."""

    count: int
    pages: list[PageRead]


@contextmanager
def scan_opened(chunks: Iterable[bytes]) -> Iterator[IO[bytes]]:
    """A copy that has no name, so that a killed worker leaves none behind."""
    with tempfile.TemporaryFile() as source:
        source.writelines(chunks)
        yield source


@contextmanager
def pages_of(source: IO[bytes], numbers: Sequence[int]) -> Iterator[PagesRead]:
    """These pages, counted from 1; there may be fewer. Raises `Unreadable`.

    Their files last as long as the block. Where several together take too much time or memory, each
    is tried by itself, so that one such page spoils no other.
    """
    with ExitStack() as stack:
        try:
            found = _asked(source, numbers, stack)
        except Unreadable as reason:
            if reason.code != "too_heavy":
                raise
            found = _one_by_one(source, numbers, stack)
        yield found


def _one_by_one(source: IO[bytes], numbers: Sequence[int], stack: ExitStack) -> PagesRead:
    # The library lists the pages before it draws one; a file that it can't even list is refused.
    count = _asked(source, [], stack).count
    pages = []
    for number in numbers:
        if number > count:
            break
        try:
            pages += _asked(source, [number], stack).pages
        except Unreadable as reason:
            pages.append(PageRead(number, None, refused=reason.code))
    return PagesRead(count, pages)


def _asked(source: IO[bytes], numbers: Sequence[int], stack: ExitStack) -> PagesRead:
    files = [
        stack.enter_context(tempfile.TemporaryFile())  # noqa: SIM115 -- on the stack
        for _ in range(2 * len(numbers))
    ]
    source.seek(0)
    told = answer_of_child(
        "planning.photos.scan_child",
        (source, *files),
        timeout_s=TIMEOUT_SECONDS,
        asked=list(numbers),
    )
    if "refused" in told:
        raise Unreadable(told["refused"], told["values"])
    for file in files:
        file.seek(0)
    pages = []
    for number, page, full, small in zip(
        numbers, told["read"], files[::2], files[1::2], strict=False
    ):
        if "refused" in page:
            pages.append(PageRead(number, None, refused=page["refused"]))
            continue
        drawn = Picture("jpeg", page["width"], page["height"], None, full, small)
        pages.append(PageRead(number, drawn, page["codes"]))
    return PagesRead(told["pages"], pages)


def turned(file: File[bytes], top: Top, name: str) -> File[bytes]:
    """A picture of ours as a JPEG whose top is where `top` says now."""
    if top == "top":
        return ContentFile(file.read(), name=name)
    out = io.BytesIO()
    with Image.open(file) as image:
        image.transpose(_UPRIGHT[top]).save(out, "JPEG", quality=90)
    return ContentFile(out.getvalue(), name=name)
