"""From levels to a score. Pure: the standard library only."""
