"""Reels: plan the pieces to the frame, render them, and name their chapters."""

from gradecut.records.teaching import Freeze, Piece, Reel
from gradecut.reels.chapters import Chapter, chapters, write_chapters
from gradecut.reels.plan import plan
from gradecut.reels.planned import PieceSource, Plan, PlannedStep
from gradecut.reels.render import film_area, render
from gradecut.reels.wording import caption_of, is_model_rep, suggest_piece, title_of

__all__ = [
    "Chapter",
    "Freeze",
    "Piece",
    "PieceSource",
    "Plan",
    "PlannedStep",
    "Reel",
    "caption_of",
    "chapters",
    "film_area",
    "is_model_rep",
    "plan",
    "render",
    "suggest_piece",
    "title_of",
    "write_chapters",
]
