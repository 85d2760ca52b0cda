"""Pages of the clay room."""
