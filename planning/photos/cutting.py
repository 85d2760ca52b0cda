"""The photo of a sheet in, each drawing on it as a picture of its own out."""

import tempfile
from collections.abc import Iterable, Iterator, Sequence
from contextlib import ExitStack, contextmanager

from studio.uploads.child import answer_of_child
from studio.uploads.reading import Picture, Unreadable

from .asking import TIMEOUT_SECONDS


@contextmanager
def drawings_cut(
    chunks: Iterable[bytes], boxes: Sequence[Sequence[int]]
) -> Iterator[list[Picture]]:
    """One picture for each box (x, y, width, height in pixels); raises `Unreadable`.

    The files last as long as the block and have no name, so a killed worker leaves none behind.
    """
    with ExitStack() as stack:
        source, *files = (
            stack.enter_context(tempfile.TemporaryFile()) for _ in range(1 + 2 * len(boxes))
        )
        source.writelines(chunks)
        source.seek(0)
        told = answer_of_child(
            "planning.photos.cut_child",
            (source, *files),
            timeout_s=TIMEOUT_SECONDS,
            asked=[list(box) for box in boxes],
        )
        if "refused" in told:
            raise Unreadable(told["refused"], told["values"])
        for file in files:
            file.seek(0)
        yield [
            Picture("jpeg", width, height, None, full, small)
            for (width, height), full, small in zip(
                told["sizes"], files[::2], files[1::2], strict=True
            )
        ]
