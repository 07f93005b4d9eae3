"""Room desk."""
