"""Room film."""
