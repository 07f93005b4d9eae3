"""Reels: plan the pieces to the frame, render them, and name their chapters."""

from gradecut.records.teaching import Freeze, Piece, Reel
from gradecut.reels.chapters import Chapter, chapters, write_chapters
from gradecut.reels.plan import plan
from gradecut.reels.planned import PieceSource, Plan, PlannedStep
from gradecut.reels.projector import film_area
from gradecut.reels.reel_sound import film_sound
from gradecut.reels.render import render
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
    "film_sound",
    "is_model_rep",
    "plan",
    "render",
    "suggest_piece",
    "title_of",
    "write_chapters",
]
