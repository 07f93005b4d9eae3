"""Values that cross rooms or are stored: frozen, without input or output."""

from gradecut.records.board import Board, BoardCell, PartRate
from gradecut.records.drill import Drill
from gradecut.records.expectation import Alignment, Credit, Expectation, Option
from gradecut.records.fingerprint import Fingerprint
from gradecut.records.footage import (
    Angle,
    Clip,
    ClipKind,
    FilmFile,
    FilmIndex,
    FrameTimes,
    Script,
    Session,
    SessionKind,
    StoredFilm,
    Tempo,
)
from gradecut.records.ids import new_id, now_utc
from gradecut.records.keeping import Act, BookInfo, Change, SchemeVersion
from gradecut.records.marks import Mark, MarkKey, MarkKind, Meaning
from gradecut.records.people import AGE_NOT_TOLD, LineUp, Player, Side, Source
from gradecut.records.replines import Reaction, RepLine
from gradecut.records.reps import (
    FITTED,
    MISSED,
    Actual,
    Did,
    Event,
    FactValue,
    FitResult,
    Flag,
    Grade,
    How,
    LinedUp,
    LinedUpVerdict,
    Moment,
    MomentKind,
    Owed,
    Rep,
)
from gradecut.records.rubric import Rubric
from gradecut.records.stretch import Stretch
from gradecut.records.teaching import Freeze, Piece, Reel

__all__ = [
    "AGE_NOT_TOLD",
    "FITTED",
    "MISSED",
    "Act",
    "Actual",
    "Alignment",
    "Angle",
    "Board",
    "BoardCell",
    "BookInfo",
    "Change",
    "Clip",
    "ClipKind",
    "Credit",
    "Did",
    "Drill",
    "Event",
    "Expectation",
    "FactValue",
    "FilmFile",
    "FilmIndex",
    "Fingerprint",
    "FitResult",
    "Flag",
    "FrameTimes",
    "Freeze",
    "Grade",
    "How",
    "LineUp",
    "LinedUp",
    "LinedUpVerdict",
    "Mark",
    "MarkKey",
    "MarkKind",
    "Meaning",
    "Moment",
    "MomentKind",
    "Option",
    "Owed",
    "PartRate",
    "Piece",
    "Player",
    "Reaction",
    "Reel",
    "Rep",
    "RepLine",
    "Rubric",
    "SchemeVersion",
    "Script",
    "Session",
    "SessionKind",
    "Side",
    "Source",
    "StoredFilm",
    "Stretch",
    "Tempo",
    "new_id",
    "now_utc",
]
