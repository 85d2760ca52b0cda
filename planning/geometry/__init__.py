"""The form of a pot: a drawn profile in, exact volumes, masses and sizes out.

Pure computation over arrays. Lengths are millimetres, volumes mm³ until a name says cm³,
masses grams. `plan.plan` is the one entry.
"""
