"""What each page of the window holds and does, without Qt; announces changes."""

from gradecut.desk.desk import Desk
from gradecut.desk.jobs import JobRunner

__all__ = ["Desk", "JobRunner"]
