"""Erasing. How to read it: `tests/routes/__init__.py`."""

TABLE = """
GET    past_keeping                                        ok   no    no    no   no   no   no   in
POST   past_keeping                                        ok   no    no    no   no   no   no   in
GET    person_erase          student                       ok   no    no    no   no   no   no   in
POST   person_erase          student                       ok   no    no    no   no   no   no   in
GET    person_erase          other_teacher                 ok   no    no    no   no   no   no   in
POST   person_erase          other_teacher                 ok   no    no    no   no   no   no   in
"""
