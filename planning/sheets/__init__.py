"""Paper of a plan, the wet pot as built: true-size drawings over pages, and the bench card."""
