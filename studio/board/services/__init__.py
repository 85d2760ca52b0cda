"""What is written by pages that cross subjects: work asked for, and its results let go."""
