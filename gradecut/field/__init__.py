"""Room field."""
