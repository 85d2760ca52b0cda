"""Files for the tests of uploads, good and hostile, made by code."""

import io
import struct
import zlib
from pathlib import Path
from typing import Any

import numpy as np
from PIL import Image

HEIC = Path(__file__).parents[2] / "data" / "drawing.heic"
TURNED_HEIC = Path(__file__).with_name("turned.heic")
QUARTERS = {(0, 0): (200, 30, 30), (1, 0): (30, 160, 30), (0, 1): (30, 30, 200), (1, 1): (20,) * 3}
# 52° 21′ 13.37″ N, 4° 53′ 27.11″ E, as rationals; what must not be found afterwards.
PLACE = {1: "N", 2: (52.0, 21.0, 13.37), 3: "E", 4: (4.0, 53.0, 27.11)}
SECRETS = [
    struct.pack(f"{order}{len(pairs)}I", *pairs)
    for order in "<>"
    for pairs in ((52, 1, 21, 1), (4, 1, 53, 1), (1337, 100), (2711, 100))
] + [b"Exif", b"exif", b"Kamera", b"xpacket", b"8BIM", b"a comment", b"ICC_PROFILE", b"52.3537"]
XMP = b'<?xpacket begin=""?><x:xmpmeta>exif:GPSLatitude="52.3537"</x:xmpmeta>'


def quarters(width: int = 320, height: int = 240) -> Image.Image:
    """Red, green over blue, black: no two turns of it look alike."""
    image = Image.new("RGB", (width, height))
    for (column, row), colour in QUARTERS.items():
        box = (column * width // 2, row * height // 2)
        image.paste(Image.new("RGB", (width // 2, height // 2), colour), box)
    return image


def saved(image: Image.Image, kind: str = "JPEG", **options: Any) -> bytes:
    out = io.BytesIO()
    image.save(out, kind, **options)
    return out.getvalue()


def exif(orientation: int = 1, focal_35mm: int | None = None, place: bool = False) -> Image.Exif:
    tags = Image.Exif()
    tags[0x0112] = orientation
    tags[0x010F] = "Kamera von nebenan"
    if focal_35mm is not None:
        tags.get_ifd(0x8769)[0xA405] = focal_35mm
    if place:
        tags.get_ifd(0x8825).update(PLACE)
    return tags


def photo(seed: int = 1) -> bytes:
    """A JPEG with detail everywhere, so that a cut anywhere loses some of it."""
    grain = np.random.default_rng(seed).integers(0, 255, (300, 400, 3), dtype=np.uint8)
    return saved(Image.fromarray(grain))


def png_bomb(width: int, height: int) -> bytes:
    """A PNG of a few kilobytes whose header promises width × height pixels."""

    def chunk(name: bytes, data: bytes) -> bytes:
        check = zlib.crc32(name + data)
        return struct.pack(">I", len(data)) + name + data + struct.pack(">I", check)

    header = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n"
        + chunk(b"IHDR", header)
        + chunk(b"IDAT", zlib.compress(bytes(4_000_000)))
        + chunk(b"IEND", b"")
    )


def png_text_bomb() -> bytes:
    """A small PNG with a compressed text chunk that unpacks to 100 MB."""
    plain = saved(Image.new("RGB", (8, 8)), "PNG")
    data = b"Comment\0\0" + zlib.compress(bytes(100_000_000), 9)
    name = b"zTXt"
    chunk = struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))
    return plain[:33] + chunk + plain[33:]


def pdf(pages: int = 1, *, extra: str = "", image: bytes = b"") -> bytes:
    """A PDF by hand: A4 pages with a black square at the lower left, `extra` in the catalogue."""
    kids = " ".join(f"{4 + n} 0 R" for n in range(pages))
    draw = b"0 0 0 rg 0 0 200 200 re f" + (b" 500 0 0 800 0 0 cm /Im Do" if image else b"")
    resources = f"<< /XObject << /Im {4 + pages} 0 R >> >>" if image else "<< >>"
    page = (
        f"<< /Type /Page /Parent 2 0 R /MediaBox [0 0 595 842] /Contents 3 0 R "
        f"/Resources {resources} >>"
    )
    objects = [
        f"<< /Type /Catalog /Pages 2 0 R {extra} >>".encode(),
        f"<< /Type /Pages /Kids [{kids}] /Count {pages} >>".encode(),
        b"<< /Length %d >>\nstream\n%b\nendstream" % (len(draw), draw),
        *[page.encode()] * pages,
        *([image] if image else []),
    ]
    out, offsets = b"%PDF-1.7\n", []
    for number, body in enumerate(objects, 1):
        offsets.append(len(out))
        out += b"%d 0 obj\n%b\nendobj\n" % (number, body)
    table = b"".join(b"%010d 00000 n \n" % offset for offset in offsets)
    size = len(objects) + 1
    return out + (
        b"xref\n0 %d\n0000000000 65535 f \n%btrailer\n<< /Size %d /Root 1 0 R >>\n"
        b"startxref\n%d\n%%%%EOF\n" % (size, table, size, len(out))
    )


def pdf_with_script() -> bytes:
    return pdf(extra="/OpenAction << /S /JavaScript /JS (app.alert\\('hello'\\)) >>")


def pdf_locked() -> bytes:
    """A PDF that asks for a password (the standard security handler, revision 2, by ReportLab)."""
    from reportlab.lib.pdfencrypt import StandardEncryption  # noqa: PLC0415 -- slow to import
    from reportlab.pdfgen.canvas import Canvas  # noqa: PLC0415

    out = io.BytesIO()
    canvas = Canvas(out, encrypt=StandardEncryption("secret", "owner"))
    canvas.drawString(100, 100, "locked")
    canvas.save()
    return out.getvalue()


def pdf_bomb(side: int = 40_000) -> bytes:
    """A PDF of one page with a picture that unpacks to side² × 3 bytes of zeros."""
    packer = zlib.compressobj(9)
    head = packer.compress(bytes(1_000_000)) + packer.flush(zlib.Z_FULL_FLUSH)
    block = packer.compress(bytes(1_000_000)) + packer.flush(zlib.Z_FULL_FLUSH)
    data = head + block * (side * side * 3 // 1_000_000) + packer.flush()
    image = (
        b"<< /Type /XObject /Subtype /Image /Width %d /Height %d /ColorSpace /DeviceRGB "
        b"/BitsPerComponent 8 /Filter /FlateDecode /Length %d >>\nstream\n%b\nendstream"
    ) % (side, side, len(data), data)
    return pdf(image=image)


def segments(jpeg: bytes) -> list[int]:
    """The markers of a JPEG up to the start of its scan (ITU-T T.81, annex B)."""
    found, at = [], 2
    while (marker := jpeg[at + 1]) != 0xDA:
        found.append(marker)
        at += 2 + int.from_bytes(jpeg[at + 2 : at + 4], "big")
    return found
