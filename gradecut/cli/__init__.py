"""The command line: every command of the main job, for people and for machines."""

from gradecut.cli.commands import app, main

__all__ = ["app", "main"]
