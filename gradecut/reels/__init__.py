"""Room reels."""
