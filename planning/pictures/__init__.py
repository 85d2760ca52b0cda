"""Pots as pictures: outlines as smooth curves, shelves at one scale, the measured drawing.

Pure: the standard library only. Millimetres in, drawing units out; templates draw them.
"""
