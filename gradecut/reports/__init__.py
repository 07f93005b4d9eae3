"""Sheets and pages for coach and players: grade sheet, board, report, player sheet, packet."""

from gradecut.reports.board_table import write_board_table
from gradecut.reports.cautions import CAUTIONS, STAFF_ONLY, Caution
from gradecut.reports.packet import write_packet
from gradecut.reports.player_sheet import write_player_sheet
from gradecut.reports.report import write_report
from gradecut.reports.sheet import write_sheet
from gradecut.reports.standings import players_left_out, standings

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
