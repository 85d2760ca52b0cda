"""Works out a stranger's load in a process of its own, `python -m studio.kilns.packing.child`.

Reads what is asked as JSON from standard input (`furniture`, `pieces`: the names of `inputs`) and
answers one line of JSON. No Django, so that it starts fast.
"""

import json
import sys
from dataclasses import asdict
from typing import Any

from studio.kilns.refusal import KilnRefused
from studio.uploads.decode import hold_limits

from .inputs import Furniture, Outline, Piece, Shelf, Spot
from .load import place_into


def answer(asked: dict[str, Any]) -> dict[str, Any]:
    """A load as plain values, or `troubles` that say what is wrong with what was asked."""
    try:
        load = place_into(
            _furniture(asked["furniture"]),
            [_piece(each) for each in asked["pieces"]],
            fullest=True,
        )
    except KilnRefused as refused:
        return {"troubles": [asdict(each) for each in refused.problems]}
    return asdict(load)


def _furniture(asked: dict[str, Any]) -> Furniture:
    plain = {
        **asked,
        "shelf": Shelf(**asked["shelf"]),
        "posts_mm": tuple(asked["posts_mm"]),
        "post_footprints": tuple(Spot(**each) for each in asked["post_footprints"]),
        "reserved": tuple(Spot(**each) for each in asked["reserved"]),
    }
    return Furniture(**plain)


def _piece(asked: dict[str, Any]) -> Piece:
    outline = dict(asked["outline"])
    points = tuple((x, y) for x, y in outline.pop("points", ()))
    return Piece(**{**asked, "outline": Outline(points=points, **outline)})


def main() -> None:
    hold_limits()
    sys.stdout.write(json.dumps(answer(json.load(sys.stdin))) + "\n")


if __name__ == "__main__":  # pragma: no cover -- in the child
    main()
