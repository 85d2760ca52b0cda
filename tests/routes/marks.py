"""Criteria, rubrics, marks, results. How to read it: `tests/routes/__init__.py`."""

TABLE = """
GET    api_adjustment        assignment student            ok   ok    --    no   no   no   no   in
PUT    api_adjustment        assignment student            ok   ok    --    no   no   no   no   in
DELETE api_adjustment        assignment student            ok   ok    --    no   no   no   no   in
GET    api_criteria                                        ok   ok    ok    no   no   no   no   in
"""
