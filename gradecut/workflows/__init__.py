"""Room workflows."""
