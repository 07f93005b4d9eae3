"""Tests of measuring motion."""
