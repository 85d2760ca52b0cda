"""OpenCV, told its limits before it is loaded. Everything here imports `cv2` from this module."""

import os
from typing import Final

MAX_PIXELS: Final = 60_000_000

# OpenCV reads its limit once, while it is loaded.
os.environ["OPENCV_IO_MAX_IMAGE_PIXELS"] = str(MAX_PIXELS)

import cv2  # noqa: E402 -- after its limit

# Pictures are read several at a time, each in a process of its own.
cv2.setNumThreads(1)
cv2.ocl.setUseOpenCL(False)

__all__ = ["MAX_PIXELS", "cv2"]
