"""What is known of a pot while it is built. Numbers of queries don't depend on rows."""
