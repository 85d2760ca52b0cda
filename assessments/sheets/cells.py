"""CSV as other programs read it: RFC 4180, UTF-8, and no cell that runs as a formula."""

import csv
import io
from collections.abc import Iterable, Sequence

# What spreadsheets take for the beginning of a formula, also after a tab or a line's end.
RISKY = ("=", "+", "-", "@", "\t", "\r")


def safe(cell: str) -> str:
    """With an apostrophe before it where a spreadsheet would work it out."""
    return f"'{cell}" if cell.startswith(RISKY) else cell


def csv_text(header: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """Lines end in CRLF; cells are quoted where they need it."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(header)
    writer.writerows(rows)
    return out.getvalue()
