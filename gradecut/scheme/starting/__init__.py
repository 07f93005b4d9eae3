"""A first scheme from about a dozen questions on the front, and a blank one to learn from."""

from gradecut.scheme.starting.questions import QUESTIONS, Choice, StartQuestion
from gradecut.scheme.starting.starter import blank_scheme, start_scheme

__all__ = ["QUESTIONS", "Choice", "StartQuestion", "blank_scheme", "start_scheme"]
