"""Room drawing."""
