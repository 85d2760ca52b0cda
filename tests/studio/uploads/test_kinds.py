"""A file is what its content says, whatever it is called."""

import pytest

from studio.uploads.kinds import kind_of
from tests.studio.uploads import files


@pytest.mark.parametrize(
    ("kind", "data"),
    [
        ("jpeg", files.saved(files.quarters(), "JPEG")),
        ("png", files.saved(files.quarters(), "PNG")),
        ("webp", files.saved(files.quarters(), "WEBP")),
        ("heic", files.HEIC.read_bytes()),
        ("pdf", files.pdf()),
        ("pdf", b"\xef\xbb\xbf\r\n" + files.pdf()),
    ],
)
def test_taken_kinds_are_known_by_their_content(kind: str, data: bytes) -> None:
    assert kind_of(data[:1024]) == kind


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"\x00" * 2000,
        files.saved(files.quarters(), "GIF"),
        files.saved(files.quarters(), "TIFF"),
        files.saved(files.quarters(), "BMP"),
        files.saved(files.quarters(), "AVIF"),
        b'<svg xmlns="http://www.w3.org/2000/svg"><script>1</script></svg>',
        b"MZ\x90\x00" + b"\x00" * 100,
        b"RIFF\x10\x00\x00\x00WAVEfmt ",
        b"<html>" + b" " * 2000 + files.pdf(),
    ],
    ids=["empty", "zeros", "gif", "tiff", "bmp", "avif", "svg", "exe", "sound", "late pdf"],
)
def test_everything_else_is_not_a_kind(data: bytes) -> None:
    assert kind_of(data[:1024]) is None
