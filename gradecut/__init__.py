"""gradecut: cut, mark, grade and teach how a defence fits the run."""

from gradecut.version import __version__

__all__ = ["__version__"]
