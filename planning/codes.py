"""Short codes that are scratched into clay: letter, digit, digit, letter, as in K7-3F.

Left out are characters that clay confuses: 0 O Q D, 1 I L, 2 Z, 5 S, 6 G, 8 B, U V. The last
letter is a check letter: the places of all characters sum to a multiple of 15, so that two codes
of one length never differ in one character only. Longer codes, for a studio that nears the
capacity, end in more letters and never become a shorter code by losing one character.
"""

import functools
import itertools
import random
from collections.abc import Collection, Iterator

LETTERS = "ACEFHJKMNPRTWXY"
DIGITS = "3479"
SHORTEST = 4
LONGEST = 6
# Past this share of what a length can hold, new codes grow by a character.
FULL = 0.85


def is_code(text: str) -> bool:
    """Whether `text`, written without the hyphen, is a code of its length."""
    if not SHORTEST <= len(text) <= LONGEST:
        return False
    pattern = (LETTERS, DIGITS, DIGITS, *(LETTERS,) * (len(text) - 3))
    if any(char not in chars for char, chars in zip(text, pattern, strict=True)):
        return False
    if sum(chars.index(char) for char, chars in zip(text, pattern, strict=True)) % len(LETTERS):
        return False
    shorter = (text[:place] + text[place + 1 :] for place in range(len(text)))
    return not any(is_code(other) for other in shorter)


def as_scratched(typed: str) -> str:
    """A code as it is kept and scratched in, `K7-3F`: small letters, spaces around it and a missing
    hyphen are fine.
    """
    plain = typed.strip().upper().replace("-", "")
    return f"{plain[:2]}-{plain[2:]}"


@functools.cache
def codes_of(length: int) -> tuple[str, ...]:
    """Every code of a length, in alphabetical order of its first characters."""
    return tuple(_codes(length))


def _codes(length: int) -> Iterator[str]:
    pattern = (LETTERS, DIGITS, DIGITS, *(LETTERS,) * (length - 4))
    for chars in itertools.product(*pattern):
        total = sum(kind.index(char) for char, kind in zip(chars, pattern, strict=True))
        text = "".join(chars) + LETTERS[-total % len(LETTERS)]
        if is_code(text):
            yield text


def drawn_codes(count: int, taken: Collection[str], dice: random.Random) -> list[str]:
    """`count` new codes, with hyphen, none of them in `taken`, of the shortest length with room.

    Raises ValueError where even the longest codes are used up.
    """
    used = {shown.replace("-", "") for shown in taken}
    drawn: list[str] = []
    for length in range(SHORTEST, LONGEST + 1):
        possible = codes_of(length)
        free = [code for code in possible if code not in used]
        room = len(free) - round(len(possible) * (1 - FULL))
        drawn += dice.sample(free, max(0, min(count - len(drawn), room)))
        if len(drawn) == count:
            return [as_scratched(code) for code in drawn]
    raise ValueError(f"no room for {count} more codes")
