"""Frames for someone who must not wait: two threads, one budget, small copies."""
