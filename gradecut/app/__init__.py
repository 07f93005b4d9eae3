"""Room app."""
