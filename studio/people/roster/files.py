"""From an upload to named texts: one zip, or single files. Sizes are bounded before reading."""

import io
import zipfile
import zlib
from collections.abc import Sequence
from pathlib import PurePosixPath

from django.utils.translation import gettext as _

from studio.errors import Refused

MOST_UPLOADED = 10_000_000
MOST_IN_A_FILE = 20_000_000
MOST_FILES = 200
ZIP_DAY = (2000, 1, 1, 0, 0, 0)


def packed(uploads: Sequence[tuple[str, bytes]]) -> bytes:
    """One bundle of bytes: an uploaded zip as it is, single files put into one."""
    if sum(len(content) for _name, content in uploads) > MOST_UPLOADED:
        message = _("The files are larger than %(most)s MB. Export one year or school only.")
        raise Refused(message % {"most": MOST_UPLOADED // 1_000_000}, field="uploads")
    if any(content[:2] == b"PK" for _name, content in uploads):
        if len(uploads) > 1:
            raise Refused(_("Upload either one zip or single files."), field="uploads")
        return uploads[0][1]
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as bundle:
        for name, content in uploads:
            bundle.writestr(zipfile.ZipInfo(_base(name), ZIP_DAY), content)
    return out.getvalue()


def unpacked(bundle: bytes) -> dict[str, bytes]:
    """The csv files of a bundle by their name, without folders and hidden files."""
    try:
        with zipfile.ZipFile(io.BytesIO(bundle)) as opened:
            return _contents(opened)
    except (
        zipfile.BadZipFile,
        zlib.error,
        EOFError,
        OSError,
        RuntimeError,  # a password, or a compression that isn't known
        ValueError,
        OverflowError,
    ):
        message = _("The zip can't be opened. Zip the files again, without a password.")
        raise Refused(message, field="uploads") from None


def _contents(bundle: zipfile.ZipFile) -> dict[str, bytes]:
    listed = bundle.infolist()
    if len(listed) > MOST_FILES:
        message = _("The zip holds more than %(most)s files. Put in only the roster's own.")
        raise Refused(message % {"most": MOST_FILES}, field="uploads")
    found: dict[str, bytes] = {}
    room = MOST_IN_A_FILE
    for entry in listed:
        name = _base(entry.filename)
        hidden = name.startswith(".") or entry.filename.startswith("__MACOSX")
        if hidden or not name.endswith((".csv", ".txt", ".tsv")):
            continue
        if name in found:
            message = _("“%(name)s” is in the zip twice. Leave one of them out.")
            raise Refused(message % {"name": name}, field="uploads")
        with bundle.open(entry) as opened:
            # What the zip claims about its sizes may be false: read no more than there is room.
            content = opened.read(room + 1)
        if len(content) > room:
            message = _("The unpacked files are larger than %(most)s MB.")
            raise Refused(message % {"most": MOST_IN_A_FILE // 1_000_000}, field="uploads")
        room -= len(content)
        found[name] = content
    return found


def _base(name: str) -> str:
    return PurePosixPath(name.replace("\\", "/")).name.lower()[:100] or "roster.csv"
