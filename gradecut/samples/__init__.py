"""Room samples."""
