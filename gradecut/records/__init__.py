"""Room records."""
