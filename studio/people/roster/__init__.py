"""Roster import: files → tables → rows (no database) → plan (reads) → apply (writes)."""
