import io
import json
import os
import sys
from collections.abc import Callable
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest

from planning.photos import telling

Told = Callable[..., dict[str, Any]]


@pytest.fixture
def told_by(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> Told:
    """The line of JSON that a process of one photo answers, run here without its bounds."""

    def told(child: ModuleType, photo: bytes, asked: object = None) -> dict[str, Any]:
        monkeypatch.setattr(telling, "hold_limits", lambda: None)
        monkeypatch.setattr(sys, "stdin", io.StringIO(json.dumps(asked)))
        source = tmp_path / "photo"
        source.write_bytes(photo)
        child.main([str(os.open(source, os.O_RDONLY))])  # closed there
        answer: dict[str, Any] = json.loads(capsys.readouterr().out)
        return answer

    return told
