"""Room book."""
