"""The kiln room. How to read it: `tests/routes/__init__.py`."""

TABLE = """
"""
