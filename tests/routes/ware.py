"""Pots, places, checks. How to read it: `tests/routes/__init__.py`."""

TABLE = """
"""
