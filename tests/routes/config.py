"""The API as a whole. How to read it: `tests/routes/__init__.py`."""

TABLE = """
GET    api_schema                                          ok   ok    ok    ok   ok   ok   ok   in
"""
