"""The clay room. How to read it: `tests/routes/__init__.py`."""

TABLE = """
"""
