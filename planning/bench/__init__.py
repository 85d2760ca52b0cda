"""The build check: a pot under way against its plan, and what can still be done about it.

Pure computation; lengths are millimetres. `checking.build_check` is the entry.
"""
