"""Opens a stranger's picture and writes it anew: upright, sRGB, without metadata.

Runs as a process of its own, `python -m studio.uploads.decode SOURCE FULL SMALL`, on three open
files given by their numbers, and answers one line of JSON. No Django, so that it starts fast.
"""

import io
import json
import os
import resource
import sys
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from typing import IO, Final

from PIL import Image, ImageCms

from .kinds import HEAD_BYTES, MAX_BYTES, MAX_PIXELS, Kind, kind_of

FULL_PX: Final = 4000
SMALL_PX: Final = 480
# A 60-megapixel WebP with alpha, the hungriest of those taken, needs two thirds of it.
MEMORY_BYTES: Final = 2_000_000_000
CPU_SECONDS: Final = 60
PDF_DPI: Final = 300

_FORMATS: Final[dict[Kind, str]] = {
    "jpeg": "JPEG", "png": "PNG", "webp": "WEBP", "heic": "HEIF",
}  # fmt: skip
# EXIF tag 0x0112, value → what makes it upright (1: nothing).
_UPRIGHT: Final = {
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_270,  # Pillow turns counter-clockwise
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_90,
}
_ORIENTATION: Final = 0x0112
_EXIF_IFD: Final = 0x8769
_FOCAL_35MM: Final = 0xA405

Image.MAX_IMAGE_PIXELS = MAX_PIXELS


class NotTaken(Exception):  # noqa: N818 -- says what happens to the file
    """The file is refused; `code` is one that `refusals` has a sentence for."""

    def __init__(self, code: str, **values: int) -> None:
        super().__init__(code)
        self.code = code
        self.values = values


@contextmanager
def _mishaps_named() -> Iterator[None]:
    """Hostile bytes make the libraries raise anything; to a person they are one of three."""
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            yield
    except NotTaken:
        raise
    except (Image.DecompressionBombWarning, Image.DecompressionBombError):
        raise NotTaken("too_many_pixels") from None
    except MemoryError:
        raise NotTaken("too_heavy") from None
    except Exception as error:
        # The HEIC library says so in words only.
        code = "too_heavy" if "emory" in str(error) else "broken"
        raise NotTaken(code) from error


def picture(source: IO[bytes], long_side: int = FULL_PX) -> tuple[Image.Image, Kind, float | None]:
    """The upright sRGB picture in `source`, its long side at most `long_side` pixels.

    Returns it with the kind of file and the 35 mm-equivalent focal length in mm, if the file says.
    Raises NotTaken. EXIF orientation: CIPA DC-008 (Exif 2.32), tag 0x0112.
    """
    kind = kind_of(source.read(HEAD_BYTES))
    source.seek(0)
    if kind is None:
        raise NotTaken("kind")
    if kind == "heic":
        _learn_heic()
    with _mishaps_named():
        if kind == "pdf":
            return _page(source, long_side), kind, None
        return _photo(source, kind, long_side)


def _learn_heic() -> None:
    # Loading this and the PDF library is half the time that a process for a JPEG would take.
    import pi_heif  # noqa: PLC0415

    pi_heif.register_heif_opener(decode_threads=1, thumbnails=False)


def _photo(source: IO[bytes], kind: Kind, long_side: int) -> tuple[Image.Image, Kind, float | None]:
    # The header says how large it is; nothing has been decoded yet.
    with Image.open(source, formats=[_FORMATS[kind]]) as image:
        if kind == "jpeg":
            # Lets the decoder leave out detail that would be thrown away.
            image.draft(None, _fitted(image.size, long_side))
        image.load()
        tags = image.getexif()
        focal = tags.get_ifd(_EXIF_IFD).get(_FOCAL_35MM)
        profile = image.info.get("icc_profile")
        reduced = _shrunk(_opaque(image), long_side)
    turn = _UPRIGHT.get(tags.get(_ORIENTATION, 1))
    plain = _srgb(reduced, profile)
    return plain.transpose(turn) if turn is not None else plain, kind, _positive(focal)


def _positive(value: object) -> float | None:
    """The tag is a whole number, 0 when unknown; anything else is not believed."""
    return float(value) if isinstance(value, int) and value > 0 else None


def _opaque(image: Image.Image) -> Image.Image:
    """8 bits a channel and nothing see-through: white paper shows where it was."""
    if image.mode.startswith("I"):
        # 16 bits of grey: the upper eight are what a screen shows.
        return image.convert("I").point(lambda value: value * (1 / 256)).convert("L")
    if image.has_transparency_data:
        layer = image.convert("RGBA")
        paper = Image.new("RGB", image.size, "white")
        paper.paste(layer, mask=layer.getchannel("A"))
        return paper
    return image if image.mode in {"RGB", "L", "CMYK"} else image.convert("RGB")


def _srgb(image: Image.Image, profile: bytes | None) -> Image.Image:
    """In sRGB and without anything that came along in `info`."""
    if profile:
        try:
            own = ImageCms.ImageCmsProfile(io.BytesIO(profile))
            converted = ImageCms.profileToProfile(
                image, own, ImageCms.createProfile("sRGB"), outputMode="RGB"
            )
        except (ImageCms.PyCMSError, OSError):
            converted = None  # a profile that doesn't fit its picture says nothing
        if converted is not None:
            converted.info.clear()
            return converted
    plain = image.convert("RGB")
    plain.info.clear()
    return plain


def _page(source: IO[bytes], long_side: int) -> Image.Image:
    """The only page of a PDF, as on paper. Scripts, forms and links are never looked at."""
    import pypdfium2 as pdfium  # noqa: PLC0415
    import pypdfium2.raw as pdfium_raw  # noqa: PLC0415

    source.seek(0, os.SEEK_END)
    source.seek(max(0, source.tell() - HEAD_BYTES))
    if b"%%EOF" not in source.read():
        raise NotTaken("broken")  # cut off; the library would mend it and show half a page
    source.seek(0)
    try:
        document = pdfium.PdfDocument(source)
    except pdfium.PdfiumError as error:
        locked = error.err_code == pdfium_raw.FPDF_ERR_PASSWORD
        raise NotTaken("pdf_locked" if locked else "broken") from error
    with document:
        if len(document) != 1:
            raise (
                NotTaken("pdf_pages", pages=len(document)) if len(document) else NotTaken("broken")
            )
        page = document[0]
        scale = min(PDF_DPI / 72, long_side / max(page.get_size()))
        bitmap = page.render(scale=scale, may_draw_forms=False)
        return _shrunk(bitmap.to_pil().convert("RGB"), long_side)


def _fitted(size: tuple[int, int], long_side: int) -> tuple[int, int]:
    scale = min(1.0, long_side / max(size))
    return max(1, round(size[0] * scale)), max(1, round(size[1] * scale))


def _shrunk(image: Image.Image, long_side: int) -> Image.Image:
    size = _fitted(image.size, long_side)
    if size == image.size:
        return image
    return image.resize(size, Image.Resampling.LANCZOS, reducing_gap=3.0)


def rewritten(source: IO[bytes], full: IO[bytes], small: IO[bytes]) -> dict[str, object]:
    """Write the picture in `source` to `full` and `small` as JPEG; what to know about it.

    Raises NotTaken, and then nothing in `full` and `small` counts.
    """
    image, kind, focal_35mm = picture(source)
    with _mishaps_named():
        write_both(image, full, small)
    width, height = image.size
    return {"kind": kind, "width": width, "height": height, "focal_35mm": focal_35mm}


def write_both(image: Image.Image, full: IO[bytes], small: IO[bytes]) -> None:
    """As JPEG, whole and as it stands in a list."""
    image.save(full, "JPEG", quality=88)
    _shrunk(image, SMALL_PX).save(small, "JPEG", quality=82)


def hold_limits() -> None:
    """Bound this process: address space, processor time, size of a written file, no core."""
    for what, most in (
        (resource.RLIMIT_AS, MEMORY_BYTES),
        (resource.RLIMIT_CPU, CPU_SECONDS),
        (resource.RLIMIT_FSIZE, MAX_BYTES),
        (resource.RLIMIT_CORE, 0),
    ):
        resource.setrlimit(what, (most, most))


def main(arguments: list[str]) -> None:
    hold_limits()
    source, full, small = (
        os.fdopen(int(number), mode)
        for number, mode in zip(arguments, ("rb", "wb", "wb"), strict=True)
    )
    with source, full, small:
        try:
            answer = rewritten(source, full, small)
        except NotTaken as reason:
            answer = {"refused": reason.code, "values": reason.values}
    sys.stdout.write(json.dumps(answer) + "\n")


if __name__ == "__main__":  # pragma: no cover -- in the child
    main(sys.argv[1:])
