"""From a file's bytes to rows by column name, as schools' systems and spreadsheets write them."""

import csv
import io
from collections.abc import Iterator
from dataclasses import dataclass, field

from django.utils.translation import gettext as _

from studio.errors import Refused
from studio.people.names import tidy

from .rows import BadRow

MOST_ROWS = 20_000
MOST_COLUMNS = 200
DELIMITERS = ",;\t"


@dataclass(frozen=True)
class Row:
    """Cells by column key (see `column_key`); `line` is where the row begins, from 1."""

    line: int
    cells: dict[str, str]

    def __getitem__(self, column: str) -> str:
        return self.cells.get(column, "")


@dataclass
class Table:
    file: str
    columns: list[str]
    rows: list[Row] = field(default_factory=list)
    bad: list[BadRow] = field(default_factory=list)

    def require(self, *columns: str) -> None:
        missing = [column for column in columns if column_key(column) not in self.columns]
        if missing:
            message = _("%(file)s: the column “%(column)s” is missing. Is this the right file?")
            raise _refused(message, file=self.file, column=missing[0])


def column_key(name: str) -> str:
    """`sourcedId`, `Sourced ID` and `sourced_id` are one column."""
    return "".join(char for char in name.lower() if char.isalnum())


def table_of(file: str, content: bytes) -> Table:
    """The table in a file. Raises `Refused` where the file as a whole can't be read."""
    text = _text(file, content)
    lines = _lines(file, text)
    header = next(lines, None)
    if header is None:
        raise _refused(_("%(file)s is empty. Export it again."), file=file)
    columns = [column_key(cell) for cell in header[1]]
    while columns and not columns[-1]:
        columns.pop()
    _check_columns(file, columns)
    table = Table(file, columns)
    for line, cells in lines:
        if len(table.rows) + len(table.bad) >= MOST_ROWS:
            message = _("%(file)s has more than %(most)s rows. Export one year or school only.")
            raise _refused(message, file=file, most=MOST_ROWS)
        if any(cell.strip() for cell in cells[len(columns) :]):
            reason = _("This row has more cells than the header. Is a comma or quote amiss?")
            table.bad.append(BadRow(file, line, reason))
        else:
            named = zip(columns, map(tidy, cells), strict=False)
            table.rows.append(Row(line, {key: cell for key, cell in named if key}))
    return table


def _text(file: str, content: bytes) -> str:
    """UTF-8 with or without a mark, UTF-16 with one, else Windows-1252."""
    marked = content[:2] in {b"\xff\xfe", b"\xfe\xff"}
    for encoding in ["utf-16"] if marked else ["utf-8-sig", "cp1252"]:
        try:
            text = content.decode(encoding)
        except UnicodeDecodeError:
            continue
        if "\0" not in text:
            return text
    message = _("%(file)s is not a text file. Save it as CSV (UTF-8) and upload that.")
    raise _refused(message, file=file)


def _lines(file: str, text: str) -> Iterator[tuple[int, list[str]]]:
    """Rows that hold something, each with the number of its first line."""
    first, _newline, rest = text.partition("\n")
    ahead = 0
    if first.strip().lower().startswith("sep=") and len(first.strip()) == len("sep=") + 1:
        delimiter, text, ahead = first.strip()[-1], rest, 1
    else:
        delimiter = _delimiter(text)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    begins = 1
    try:
        for cells in reader:
            if any(cell.strip() for cell in cells):
                yield begins + ahead, cells
            begins = reader.line_num + 1
    except csv.Error:
        message = _(
            "%(file)s, line %(line)s: a quotation mark is opened and not closed, or closed too "
            "early. Mend that row and upload again."
        )
        raise _refused(message, file=file, line=begins + ahead) from None


def _delimiter(text: str) -> str:
    """What parts the header's cells: a comma, a semicolon or a tab."""
    header = next((line for line in text.splitlines() if line.strip()), "")
    outside = "".join(header.split('"')[::2])
    return max(DELIMITERS, key=outside.count)


def _check_columns(file: str, columns: list[str]) -> None:
    if len(columns) > MOST_COLUMNS:
        message = _("%(file)s has more than %(most)s columns. Is this a roster?")
        raise _refused(message, file=file, most=MOST_COLUMNS)
    named = [column for column in columns if column]
    for column in named:
        if named.count(column) > 1:
            message = _("%(file)s has the column “%(column)s” twice. Leave one of them out.")
            raise _refused(message, file=file, column=column)


def _refused(message: str, **said: object) -> Refused:
    return Refused(message % said, field="uploads")
