"""Room motion."""
