"""Taking a person's words and names out of kept JSON. No database."""

import json
import re
from collections.abc import Collection
from typing import Any

# Keys of audit values under which one of the code's own words may stand.
CODED = frozenset(
    {
        "before",
        "cause",
        "drawn_as",
        "evidence",
        "firing",
        "kind",
        "lost",
        "occasion",
        "outline",
        "role",
        "scope",
        "shape",
        "stage",
        "state",
        "surface",
    }
)
_CODE_WORD = re.compile(r"[a-z_]{1,20}")
_UUID = r"[0-9a-f]{8}(?:-[0-9a-f]{4}){3}-[0-9a-f]{12}"
_NUMBER = r"[+-]?\d{1,12}(?:\.\d+)?"
_DATE = r"\d{4}-\d\d-\d\d(?:[T ]\d\d:\d\d(?::\d\d(?:\.\d+)?)?(?:Z|[+-]\d\d:\d\d)?)?"
_ONE_WORD = re.compile(r"\w+")
_ONE_ID = re.compile(_UUID)
_NO_WORDS = re.compile(f"{_UUID}|{_NUMBER}|{_DATE}", re.ASCII)


def cleaned(value: Any, key: str = "") -> Any:
    """The same value without texts: ids, numbers, dates and words of the code stay."""
    if isinstance(value, dict):
        return {name: cleaned(each, name) for name, each in value.items()}
    if isinstance(value, list):
        return [cleaned(each, key) for each in value]
    if not isinstance(value, str) or _NO_WORDS.fullmatch(value):
        return value
    return value if key in CODED and _CODE_WORD.fullmatch(value) else ""


def without_names(value: Any, names: Collection[str], instead: str) -> Any:
    """The same value with these names replaced, where one is a whole text or stands within it.

    A name of one word is replaced only where it is the whole text: it may be a word like any other.
    """
    if isinstance(value, dict):
        return {name: without_names(each, names, instead) for name, each in value.items()}
    if isinstance(value, list):
        return [without_names(each, names, instead) for each in value]
    if not isinstance(value, str):
        return value
    if value.casefold() in {name.casefold() for name in names}:
        return instead
    for name in sorted(names, key=len, reverse=True):
        if not _ONE_WORD.fullmatch(name):
            value = re.sub(rf"(?<!\w){re.escape(name)}(?!\w)", instead, value, flags=re.IGNORECASE)
    return value


def ids_in(value: Any) -> set[str]:
    """Every id that is a text of this JSON."""
    if isinstance(value, dict | list):
        return set().union(*map(ids_in, value.values() if isinstance(value, dict) else value))
    return {value} if isinstance(value, str) and _ONE_ID.fullmatch(value) else set()


def as_kept(name: str) -> set[str]:
    """How JSON kept as text may hold the name that `without_names` replaces: one database keeps
    letters as they are, the other with escapes.
    """
    plain, escaped = json.dumps(name, ensure_ascii=False), json.dumps(name)
    return {plain, escaped} if _ONE_WORD.fullmatch(name) else {plain[1:-1], escaped[1:-1]}
