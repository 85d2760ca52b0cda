"""Which files are taken. Pure, and light enough for the web process."""

from typing import Literal

MAX_BYTES = 40_000_000
MAX_PIXELS = 60_000_000
HEAD_BYTES = 1024

Kind = Literal["jpeg", "png", "webp", "heic", "pdf"]

# Major brands of still and burst HEVC pictures, ISO/IEC 23008-12 annex B; mif1 and msf1 name
# the container only, what is inside decides when it is decoded.
_HEIC_BRANDS = {
    b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx", b"hevm", b"hevs", b"mif1", b"msf1",
}  # fmt: skip


def kind_of(head: bytes) -> Kind | None:
    """What the first `HEAD_BYTES` of a file say it is; None for everything that isn't taken."""
    if head.startswith(b"\xff\xd8\xff"):
        return "jpeg"
    if head.startswith(b"\x89PNG\r\n\x1a\n"):
        return "png"
    if head[:4] == b"RIFF" and head[8:12] == b"WEBP":
        return "webp"
    if head[4:8] == b"ftyp" and head[8:12] in _HEIC_BRANDS:
        return "heic"
    # Some scanners put a few bytes before the header; readers look through the first 1024
    # (common practice, from memory).
    if b"%PDF-" in head:
        return "pdf"
    return None
