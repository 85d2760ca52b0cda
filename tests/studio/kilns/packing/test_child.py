"""A load as JSON in and out of the process that works it out."""

import io
import json
from typing import Any

import pytest

from studio.kilns.packing import child

ASKED: dict[str, Any] = {
    "furniture": {
        "shelf": {"shape": "rectangle", "width_mm": 200, "depth_mm": 200},
        "usable_height_mm": 200,
        "shelf_thickness_mm": 20,
        "posts_mm": [100],
        "clearance_mm": 0,
        "headroom_mm": 10,
        "post_footprints": [{"x_mm": 90, "y_mm": 90, "diameter_mm": 10}],
        "reserved": [],
    },
    "pieces": [
        {
            "id": "a",
            "front_mm": 200,
            "depth_mm": 200,
            "height_mm": 90,
            "outline": {"shape": "traced", "points": [[0, 0], [9, 0], [0, 9]]},
        },
        {
            "id": "b",
            "front_mm": 100,
            "depth_mm": 100,
            "height_mm": 200,
            "outline": {"shape": "round"},
        },
    ],
}


def test_a_load_is_told_as_plain_values(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    held: list[bool] = []
    monkeypatch.setattr(child, "hold_limits", lambda: held.append(True))
    monkeypatch.setattr("sys.stdin", io.StringIO(json.dumps(ASKED)))
    child.main()
    told = json.loads(capsys.readouterr().out)
    assert held == [True]
    assert [each["id"] for each in told["layers"][0]["placements"]] == ["a"]
    assert told["unplaced"] == [{"id": "b", "reason": "taller_than_kiln"}]


def test_what_is_wrong_is_told_with_its_path() -> None:
    told = child.answer({**ASKED, "pieces": [ASKED["pieces"][1]] * 2})
    assert told == {"troubles": [{"path": "pieces.1.id", "code": "same_id", "values": {"id": "b"}}]}
