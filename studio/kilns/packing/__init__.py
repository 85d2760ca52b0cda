"""Where pots stand in a kiln: layers of shelves, exact places, nothing nearer than it may be.

Pure computation. Lengths are millimetres, angles degrees; the origin is the shelf's centre, x to
the right, y to the back, turns counter-clockwise seen from above. `load.place_into` is the one
entry, `checked.checked` judges any layout by another route.
"""
