"""A photographed drawing read, against the photo decoded by Pillow and once blurred by OpenCV.

Run: python -m tests.bench.bench_tracing
"""

import io
import sys

import numpy as np
from PIL import Image

from planning.tracing.opencv import cv2
from planning.tracing.run import Asked, answer
from tests.bench.bench_plan import seconds
from tests.planning.tracing.drawn import Sheet, drawn
from tests.planning.tracing.scene import Camera


def decoded(jpeg: bytes) -> None:
    gray = np.asarray(Image.open(io.BytesIO(jpeg)).convert("L"))
    cv2.GaussianBlur(gray, (0, 0), 2)


def main() -> None:
    jpeg = drawn(Sheet(height_mm=400, widest_mm=120), Camera(tilt_deg=8), 1).photo.jpeg
    asked = Asked("drawing", {"kind": "card"})
    traced = seconds(
        lambda: answer(np.asarray(Image.open(io.BytesIO(jpeg)).convert("L")), asked), 5
    )
    ratio = traced / seconds(lambda: decoded(jpeg), 5)
    sys.stdout.write(f"drawing traced / photo decoded and blurred: {ratio:.1f} times as long\n")


if __name__ == "__main__":
    main()
