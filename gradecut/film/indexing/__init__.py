"""Making and keeping the index: where every frame of a film lies."""
