"""Rows of coils: the wall of a computed form cut into rows, seams, blends, rests, lessons.

Pure computation. Lengths are millimetres, masses grams, volumes mm³ until a name says otherwise.
`rows.row_list` is the main entry; `thickness` reads the wall from a measured height, and
`carrying_on` lays new rows on the pot as it stands.
"""
