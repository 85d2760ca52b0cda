"""Photographs of drawings at full size: a picture in, a profile or an outline in millimetres out.

Pure: OpenCV, NumPy, SciPy and Shapely, no Django. `run` takes a picture's bytes and is meant for
a process of its own; `drawing` and `outline` take arrays. `scale_card` alone needs none of them.
"""
