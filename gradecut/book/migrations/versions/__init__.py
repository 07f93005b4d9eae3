"""One script for each schema."""
