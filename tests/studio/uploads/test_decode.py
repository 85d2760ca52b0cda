"""Pictures come out upright, sRGB and without a word about where they were taken."""

import io
from contextlib import suppress

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image, ImageCms

from studio.uploads import decode
from studio.uploads.refusals import CODES
from tests.studio.uploads import files


def written(data: bytes) -> tuple[dict[str, object], bytes, bytes]:
    full, small = io.BytesIO(), io.BytesIO()
    facts = decode.rewritten(io.BytesIO(data), full, small)
    return facts, full.getvalue(), small.getvalue()


def upright(data: bytes) -> Image.Image:
    return Image.open(io.BytesIO(written(data)[1]))


def refused(data: bytes) -> tuple[str, dict[str, int]]:
    with pytest.raises(decode.NotTaken) as caught:
        written(data)
    assert caught.value.code in CODES
    return caught.value.code, caught.value.values


def assert_quarters(image: Image.Image) -> None:
    """Red, green over blue, black, within what JPEG does to flat colour."""
    width, height = image.size
    for (column, row), colour in files.QUARTERS.items():
        seen = np.asarray(image)[(2 * row + 1) * height // 4, (2 * column + 1) * width // 4]
        np.testing.assert_allclose(seen, colour, atol=6)


# EXIF 2.32 (CIPA DC-008), tag 0x0112, as in the jpegexiforient manual: which visual side the
# stored row 0 and the stored column 0 are.
ORIENTATIONS = {
    1: ("top", "left"),
    2: ("top", "right"),
    3: ("bottom", "right"),
    4: ("bottom", "left"),
    5: ("left", "top"),
    6: ("right", "top"),
    7: ("right", "bottom"),
    8: ("left", "bottom"),
}


def stored_as(image: Image.Image, orientation: int) -> Image.Image:
    """The pixels as a camera stores them whose row 0 and column 0 are the sides of the table."""
    pixels = np.asarray(image)
    row_side, column_side = ORIENTATIONS[orientation]
    if row_side in {"left", "right"}:
        pixels = pixels.transpose(1, 0, 2)
    if row_side in {"bottom", "right"}:
        pixels = pixels[::-1]
    if column_side in {"right", "bottom"}:
        pixels = pixels[:, ::-1]
    return Image.fromarray(np.ascontiguousarray(pixels))


@pytest.mark.parametrize("orientation", ORIENTATIONS)
@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_every_exif_orientation_comes_out_upright(kind: str, orientation: int) -> None:
    stored = stored_as(files.quarters(), orientation)
    data = files.saved(stored, kind, exif=files.exif(orientation))
    facts, full, small = written(data)
    assert (facts["width"], facts["height"]) == (320, 240)
    for jpeg in (full, small):
        image = Image.open(io.BytesIO(jpeg))
        assert image.size == (320, 240)
        assert_quarters(image)


def test_an_orientation_that_does_not_exist_changes_nothing() -> None:
    data = files.saved(files.quarters(), exif=files.exif(9))
    assert_quarters(upright(data))


def test_a_heic_is_turned_once_though_its_exif_says_so_too() -> None:
    """ISO/IEC 23008-12: the `irot` box turns; EXIF orientation is information only."""
    facts, full, _small = written(files.TURNED_HEIC.read_bytes())
    assert facts == {"kind": "heic", "width": 320, "height": 240, "focal_35mm": 26.0}
    assert_quarters(Image.open(io.BytesIO(full)))


def test_a_heic_drawing_is_read() -> None:
    facts, full, _small = written(files.HEIC.read_bytes())
    assert facts["kind"] == "heic"
    assert Image.open(io.BytesIO(full)).size == (facts["width"], facts["height"])


WITH_PLACE = {
    "jpeg": files.saved(
        files.quarters(),
        exif=files.exif(place=True),
        xmp=files.XMP,
        comment=b"a comment: K. from next door",
        icc_profile=ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes(),
    ),
    "png": files.saved(files.quarters(), "PNG", exif=files.exif(place=True)),
    "webp": files.saved(files.quarters(), "WEBP", exif=files.exif(place=True), xmp=files.XMP),
    "heic": files.TURNED_HEIC.read_bytes(),
}


@pytest.mark.parametrize("kind", WITH_PLACE)
def test_place_camera_comments_and_profiles_are_gone(kind: str) -> None:
    data = WITH_PLACE[kind]
    assert any(secret in data for secret in files.SECRETS), "the test's own file says nothing"
    _facts, full, small = written(data)
    for jpeg in (full, small):
        assert [secret for secret in files.SECRETS if secret in jpeg] == []
        # JFIF header, quantisation, frame, Huffman tables: no other application data, no comment.
        assert set(files.segments(jpeg)) == {0xE0, 0xDB, 0xC0, 0xC4}


def test_the_focal_length_survives_as_a_number() -> None:
    assert written(files.saved(files.quarters(), exif=files.exif(focal_35mm=26)))[0] == {
        "kind": "jpeg", "width": 320, "height": 240, "focal_35mm": 26.0,
    }  # fmt: skip


@pytest.mark.parametrize("tags", [files.exif(), files.exif(focal_35mm=0)])
def test_an_unknown_focal_length_is_none(tags: Image.Exif) -> None:
    assert written(files.saved(files.quarters(), exif=tags))[0]["focal_35mm"] is None


def test_a_large_picture_is_brought_to_4000_px_and_480_px() -> None:
    facts, full, small = written(files.saved(files.quarters(8000, 3000)))
    assert (facts["width"], facts["height"]) == (4000, 1500)
    assert Image.open(io.BytesIO(full)).size == (4000, 1500)
    assert Image.open(io.BytesIO(small)).size == (480, 180)


def test_a_small_picture_is_not_blown_up() -> None:
    facts, _full, small = written(files.saved(files.quarters(64, 32), "PNG"))
    assert (facts["width"], facts["height"]) == (64, 32)
    assert Image.open(io.BytesIO(small)).size == (64, 32)


def test_a_thread_of_a_picture_keeps_a_pixel_of_width() -> None:
    data = files.saved(Image.new("RGB", (12_000, 1)), "PNG")
    facts, _full, small = written(data)
    assert (facts["width"], facts["height"]) == (4000, 1)
    assert Image.open(io.BytesIO(small)).size == (480, 1)


@pytest.mark.parametrize("kind", ["PNG", "WEBP"])
def test_what_is_see_through_becomes_white_paper(kind: str) -> None:
    image = Image.new("RGBA", (40, 20), (0, 0, 0, 0))
    image.paste((10, 20, 30, 255), (0, 0, 20, 20))
    pixels = np.asarray(upright(files.saved(image, kind)))
    np.testing.assert_allclose(pixels[10, 4], (10, 20, 30), atol=8)
    np.testing.assert_allclose(pixels[10, 36], (255, 255, 255), atol=3)


def test_a_see_through_palette_becomes_white_paper() -> None:
    image = files.quarters(40, 20).quantize(4)
    transparent = image.getpixel((1, 1))
    pixels = np.asarray(upright(files.saved(image, "PNG", transparency=transparent)))
    np.testing.assert_allclose(pixels[3, 3], (255, 255, 255), atol=6)
    np.testing.assert_allclose(pixels[3, 35], (30, 160, 30), atol=12)


@pytest.mark.parametrize(
    "image",
    [
        Image.new("L", (40, 20), 90),
        Image.new("LA", (40, 20), (90, 255)),
        Image.new("RGB", (40, 20), (90, 90, 90)).quantize(2),
        Image.fromarray(np.full((20, 40), 90 * 257, dtype=np.uint16)),
    ],
    ids=["grey", "grey with alpha", "palette", "16 bits"],
)
def test_every_kind_of_grey_png_is_the_same_grey(image: Image.Image) -> None:
    out = upright(files.saved(image, "PNG"))
    assert out.mode == "RGB"
    np.testing.assert_allclose(np.asarray(out), 90, atol=2)


def test_a_one_bit_png_is_black_and_white() -> None:
    image = Image.new("1", (40, 40), 1)
    image.paste(0, (0, 0, 16, 40))
    pixels = np.asarray(upright(files.saved(image, "PNG")))
    assert pixels[20, 4].max() < 6
    assert pixels[20, 36].min() > 249


def test_a_greyscale_jpeg_is_read() -> None:
    out = upright(files.saved(Image.new("L", (40, 20), 90)))
    np.testing.assert_allclose(np.asarray(out), 90, atol=2)


def test_a_cmyk_jpeg_is_read_the_right_way_round() -> None:
    """Adobe's CMYK is stored inverted; white paper is no ink."""
    image = Image.new("CMYK", (40, 40), (0, 0, 0, 0))
    image.paste((0, 255, 255, 0), (0, 0, 16, 40))
    pixels = np.asarray(upright(files.saved(image)))
    np.testing.assert_allclose(pixels[20, 36], (255, 255, 255), atol=3)
    np.testing.assert_allclose(pixels[20, 4], (255, 0, 0), atol=6)


def test_colours_of_another_space_are_brought_to_srgb() -> None:
    """In a linear-light space 55 of 255 is what sRGB stores as 128 (IEC 61966-2-1)."""
    data = files.saved(Image.new("RGB", (40, 20), (55, 55, 55)), icc_profile=_linear_profile())
    expected = 255 * (1.055 * (55 / 255) ** (1 / 2.4) - 0.055)
    np.testing.assert_allclose(np.asarray(upright(data)), expected, atol=3)


@pytest.mark.parametrize("profile", [b"not a profile", b"\0" * 200])
def test_a_broken_profile_is_as_good_as_none(profile: bytes) -> None:
    assert_quarters(upright(files.saved(files.quarters(), icc_profile=profile)))


def test_a_profile_of_another_mode_is_as_good_as_none() -> None:
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("LAB")).tobytes()
    assert_quarters(upright(files.saved(files.quarters(), icc_profile=profile)))


@pytest.mark.parametrize("kind", ["PNG", "WEBP"])
def test_of_an_animation_the_first_picture_is_taken(kind: str) -> None:
    more = [Image.new("RGB", (320, 240), "white")] * 2
    data = files.saved(files.quarters(), kind, save_all=True, append_images=more, duration=100)
    assert_quarters(upright(data))


def test_of_several_pictures_in_a_jpeg_the_first_is_taken() -> None:
    """Telephones store a second picture behind the first (CIPA DC-007)."""
    data = files.saved(
        files.quarters(), "MPO", save_all=True, append_images=[Image.new("RGB", (320, 240))]
    )
    facts, full, _small = written(data)
    assert facts["kind"] == "jpeg"
    assert_quarters(Image.open(io.BytesIO(full)))


def test_a_page_of_a_pdf_is_drawn_at_300_dots_an_inch() -> None:
    """A4 is 210 × 297 mm (ISO 216): 2480 × 3508 dots; a square stands at the lower left."""
    facts, full, _small = written(files.pdf())
    assert facts["kind"] == "pdf"
    pixels = np.asarray(Image.open(io.BytesIO(full)))
    np.testing.assert_allclose(pixels.shape, (3508, 2480, 3), atol=1)
    assert pixels[3400, 100].max() < 6
    assert pixels[100, 100].min() > 249


def test_scripts_in_a_pdf_do_nothing() -> None:
    facts, full, _small = written(files.pdf_with_script())
    assert facts["kind"] == "pdf"
    assert b"alert" not in full


def test_a_poster_page_stays_within_4000_px() -> None:
    data = files.pdf().replace(b"[0 0 595 842]", b"[0 0 5950 842]")
    facts = written(data)[0]
    assert facts["width"] == 4000


def test_a_jpeg_with_a_page_behind_it_is_only_a_jpeg() -> None:
    page = b"<html><script>alert('hello')</script></html>"
    data = files.saved(files.quarters(), comment=page) + page
    _facts, full, small = written(data)
    assert b"<script" not in full + small
    assert full.endswith(b"\xff\xd9")


REFUSED = {
    "gif": (files.saved(files.quarters(), "GIF"), "kind"),
    "renamed program": (b"MZ\x90\x00" + b"\x00" * 100, "kind"),
    "900 megapixels": (files.png_bomb(30_000, 30_000), "too_many_pixels"),
    "61 megapixels": (files.png_bomb(10_000, 6_100), "too_many_pixels"),
    "no pixels behind the header": (files.png_bomb(9_000, 6_000), "broken"),
    "a page of zeros in a comment": (files.png_text_bomb(), "broken"),
    "only the head of a jpeg": (b"\xff\xd8\xff\xe0", "broken"),
    "only the head of a png": (b"\x89PNG\r\n\x1a\n", "broken"),
    "only the head of a webp": (b"RIFF\x10\x00\x00\x00WEBP", "broken"),
    "only the head of a heic": (files.HEIC.read_bytes()[:40], "broken"),
    "avif called heic": (
        files.saved(files.quarters(), "AVIF").replace(b"ftypavif", b"ftypmif1"),
        "broken",
    ),
    "only the head of a pdf": (b"%PDF-1.7\n", "broken"),
    "a pdf of words": (b"%PDF-1.7\nnothing to see here\n%%EOF\n", "broken"),
    "a locked pdf": (files.pdf_locked(), "pdf_locked"),
}


@pytest.mark.parametrize("name", REFUSED)
def test_a_nasty_file_is_refused_with_its_reason(name: str) -> None:
    data, code = REFUSED[name]
    assert refused(data) == (code, {})


def test_a_pdf_of_three_pages_is_refused_with_their_number() -> None:
    assert refused(files.pdf(3)) == ("pdf_pages", {"pages": 3})


WHOLE = {
    "jpeg": files.photo(),
    "progressive jpeg": files.saved(Image.open(io.BytesIO(files.photo())), progressive=True),
    "png": files.saved(Image.open(io.BytesIO(files.photo())), "PNG"),
    "webp": files.saved(Image.open(io.BytesIO(files.photo())), "WEBP"),
    "heic": files.HEIC.read_bytes(),
    "pdf": files.pdf(),
}


@pytest.mark.parametrize("share", [0.02, 0.1, 0.35, 0.5, 0.75, 0.9, 0.99])
@pytest.mark.parametrize("kind", WHOLE)
def test_a_file_cut_off_anywhere_is_refused(kind: str, share: float) -> None:
    data = WHOLE[kind]
    written(data)
    assert refused(data[: int(len(data) * share)]) == ("broken", {})


@given(
    kind=st.sampled_from(["jpeg", "progressive jpeg", "png", "webp"]),
    changes=st.lists(st.tuples(st.floats(0, 1, exclude_max=True), st.integers(0, 255))),
)
@settings(deadline=None)
def test_damaged_bytes_give_a_picture_or_a_reason_and_nothing_else(
    kind: str, changes: list[tuple[float, int]]
) -> None:
    data = bytearray(WHOLE[kind])
    for place, value in changes:
        data[int(place * len(data))] = value
    with suppress(decode.NotTaken):
        facts, full, _small = written(bytes(data))
        assert Image.open(io.BytesIO(full)).size == (facts["width"], facts["height"])


def test_a_library_out_of_memory_is_too_heavy(monkeypatch: pytest.MonkeyPatch) -> None:
    def exhausted(_image: Image.Image) -> Image.Image:
        raise MemoryError

    monkeypatch.setattr(decode, "_opaque", exhausted)
    assert refused(files.photo()) == ("too_heavy", {})


def _linear_profile() -> bytes:
    """A matrix profile with sRGB's primaries and a straight curve (ICC.1, version 2.1)."""
    import struct  # noqa: PLC0415 -- this one helper

    def xyz(*values: float) -> bytes:
        return b"XYZ \0\0\0\0" + struct.pack(">3i", *(round(v * 65536) for v in values))

    curve = b"curv\0\0\0\0" + struct.pack(">I", 0)
    tags = {
        b"wtpt": xyz(0.9642, 1.0, 0.8249),
        b"rXYZ": xyz(0.4361, 0.2225, 0.0139),
        b"gXYZ": xyz(0.3851, 0.7169, 0.0971),
        b"bXYZ": xyz(0.1431, 0.0606, 0.7141),
        b"rTRC": curve, b"gTRC": curve, b"bTRC": curve,
    }  # fmt: skip
    at, table, body = 128 + 4 + 12 * len(tags), b"", b""
    for name, data in tags.items():
        table += name + struct.pack(">II", at + len(body), len(data))
        body += data
    size = at + len(body)
    head = struct.pack(">I4sI4s4s4s12s4s", size, b"test", 0x02100000, b"mntr", b"RGB ", b"XYZ ",
                       bytes(12), b"acsp").ljust(68, b"\0")  # fmt: skip
    head += struct.pack(">3i", 63190, 65536, 54061)
    return head.ljust(128, b"\0") + struct.pack(">I", len(tags)) + table + body
