"""Sheets and pages for coach and players: grade sheet, board, report, player sheet, packet."""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from gradecut.reports.board_table import write_board_table
    from gradecut.reports.cautions import CAUTIONS, STAFF_ONLY, Caution
    from gradecut.reports.men_standings import players_left_out, standings
    from gradecut.reports.packet import write_packet
    from gradecut.reports.player_sheet import write_player_sheet
    from gradecut.reports.report import write_report
    from gradecut.reports.sheet import write_sheet

__all__ = [
    "CAUTIONS",
    "STAFF_ONLY",
    "Caution",
    "players_left_out",
    "standings",
    "write_board_table",
    "write_packet",
    "write_player_sheet",
    "write_report",
    "write_sheet",
]

_HOMES = {
    "CAUTIONS": "cautions",
    "Caution": "cautions",
    "STAFF_ONLY": "cautions",
    "players_left_out": "men_standings",
    "standings": "men_standings",
    "write_board_table": "board_table",
    "write_packet": "packet",
    "write_player_sheet": "player_sheet",
    "write_report": "report",
    "write_sheet": "sheet",
}


def __getattr__(name: str) -> object:
    """Load a module when first asked for one of its names: the window needs the wording only."""
    if name not in _HOMES:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(f"{__name__}.{_HOMES[name]}"), name)
