"""Room grading."""
