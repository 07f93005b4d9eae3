"""Room scheme."""
