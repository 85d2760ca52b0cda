"""What is typed at the bench, in the units of the ruler at hand."""
