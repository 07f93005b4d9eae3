"""The picture of the look on paper: a form that asks where to, and the page itself."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from os import PathLike
from pathlib import Path

import numpy as np
from PyQt6 import sip
from PyQt6.QtCore import QMarginsF, QPointF, QRectF, Qt
from PyQt6.QtGui import QFont, QPageLayout, QPageSize, QPainter, QPen
from PyQt6.QtPrintSupport import QPrinter, QPrinterInfo
from PyQt6.QtWidgets import QWidget

from gradecut.app.choice_row import ChoiceRow
from gradecut.app.drop_down import DropDown
from gradecut.app.form import FileField, Form
from gradecut.app.painted import image_over
from gradecut.app.theme import Size, as_qcolor, font
from gradecut.desk.jobs import JobRunner
from gradecut.desk.look_sheet import LookSheet, SheetMan
from gradecut.desk.saying import Refusal
from gradecut.drawing import LIGHT, Colour, look_shapes, look_words, paint
from gradecut.errors import OutputError
from gradecut.outfile import check_goal, whole_file
from gradecut.progress import CancelToken, Progress

__all__ = ["PrintForm", "print_sheet", "write_sheet"]

_TO_FILE = "a PDF file"
_PAPERS = {"A4": QPageSize.PageSizeId.A4, "Letter": QPageSize.PageSizeId.Letter}
_MARGIN_MM = 16
_SHEET_DPI, _DPI = 96, 300
_PICTURE_HIGH_PX, _INSET_PX = 500.0, 10.0
_COLUMNS = (("man", 0.0), ("owed", 0.29), ("did", 0.46), ("cause", 0.75))
_ROW_PX = 25.0


class PrintForm(Form):
    """Asks which printer, or which file, and which paper.

    Parameters
    ----------
    sheet : LookSheet
    folder : Path
        Where a file is proposed.
    jobs : JobRunner
        Runs the printing.
    say : callable
        Shows a sentence once it is done.
    """

    def __init__(
        self,
        parent: QWidget,
        sheet: LookSheet,
        folder: Path,
        *,
        jobs: JobRunner,
        say: Callable[[str], None],
    ) -> None:
        super().__init__(parent, "Print the picture of the look", "Print")
        self._sheet = sheet
        self._jobs = jobs
        self._say = say
        self._at_work = False
        self.to = DropDown()
        self.to.addItems([_TO_FILE, *QPrinterInfo.availablePrinterNames()])
        self.file = FileField("Keep it as", "PDF (*.pdf)", to_save=True)
        self.file.path.setText(str(folder / sheet.file_name))
        self.paper = ChoiceRow(tuple(_PAPERS))
        self.add_row("to", self.to, "" if self.to.count() > 1 else "No printer is set up here.")
        self.add_row("file", self.file)
        self.add_row("paper", self.paper)
        self.to.currentIndexChanged.connect(lambda at: self.file.setEnabled(at == 0))

    def submit(self) -> None:
        """Print or write it beside the window; what went wrong is told in the form."""
        if self._at_work:
            return
        paper, sheet = list(_PAPERS)[self.paper.place], self._sheet
        to_file, path, printer = (
            self.to.currentIndex() == 0,
            self.file.text(),
            self.to.currentText(),
        )

        def work(_progress: Progress, _cancel: CancelToken) -> str:
            if to_file:
                return f"The picture of the look lies in {write_sheet(sheet, path, paper)}."
            print_sheet(sheet, printer, paper)
            return f"The picture of the look goes to {printer}."

        self._at_work = True
        self._jobs.start(
            "Printing the picture of the look", work, self._done, self._refused, self._refused,
            on_failed=partial(self._refused, ""),
        )  # fmt: skip

    def _done(self, told: str) -> None:
        self._at_work = False
        self._say(told)
        if not sip.isdeleted(self):
            self.accept()

    def _refused(self, why: str) -> None:
        """Tell what went wrong where he still looks."""
        self._at_work = False
        if sip.isdeleted(self) or not self.isVisible():
            self._say(Refusal(why))
        else:
            self.refuse(why)


def write_sheet(sheet: LookSheet, path: str | PathLike[str], paper: str = "A4") -> Path:
    """Write the page as a PDF file, whole or not at all; return where it lies.

    Raises
    ------
    OutputError
        When no file was named, or it can't be written there.
    """
    if not str(path).strip():
        raise OutputError(path, "name a file to keep the page in.")
    goal = check_goal(path, endings=(".pdf",), what="the page")
    with whole_file(goal) as draft:
        printer = _printer(paper)
        printer.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
        printer.setOutputFileName(str(draft))
        printer.setDocName(sheet.title)
        _print_on(printer, sheet, str(goal))
    return goal


def print_sheet(sheet: LookSheet, name: str, paper: str = "A4") -> None:
    """Send the page to a printer.

    Raises
    ------
    OutputError
        When no such printer is set up here any more, or it does not take the page.
    """
    if QPrinterInfo.printerInfo(name).isNull():
        raise OutputError(name, "no such printer is set up here; choose another place.")
    printer = _printer(paper)
    printer.setPrinterName(name)
    printer.setDocName(sheet.title)
    _print_on(printer, sheet, name)


def _printer(paper: str) -> QPrinter:
    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    printer.setResolution(_DPI)
    printer.setPageLayout(
        QPageLayout(
            QPageSize(_PAPERS[paper]),
            QPageLayout.Orientation.Portrait,
            QMarginsF(_MARGIN_MM, _MARGIN_MM, _MARGIN_MM, _MARGIN_MM),
            QPageLayout.Unit.Millimeter,
        )
    )
    return printer


def _print_on(printer: QPrinter, sheet: LookSheet, where: str) -> None:
    painter = QPainter()
    if not painter.begin(printer):
        raise OutputError(where, "nothing can be printed there; choose another place.")
    paper = printer.pageLayout().paintRectPixels(printer.resolution())
    scale = printer.resolution() / _SHEET_DPI
    painter.scale(scale, scale)
    try:
        _Page(painter, paper.width() / scale, paper.height() / scale, scale).set_sheet(sheet)
    finally:
        painter.end()


class _Page:
    """Sets one page from its top down, in pixels of a 96th of an inch."""

    def __init__(self, painter: QPainter, wide: float, high: float, scale: float) -> None:
        self._painter = painter
        self._wide, self._high, self._scale = wide, high, scale
        self._y = 0.0

    def set_sheet(self, sheet: LookSheet) -> None:
        """Set title, picture, facts and men; the foot stands at the bottom."""
        self._line(sheet.title, "title", 600)
        self._line(sheet.under, "body", colour=LIGHT.quiet)
        self._y += 10
        self._picture(sheet)
        self._y += 12
        told = look_words(sheet.picture) if not sheet.men else sheet.unseen
        if told:
            self._wrapped(told, "body", LIGHT.quiet)
            self._y += 10
        self._table(sheet.men)
        self._y = self._high - 20
        self._line(sheet.foot, "small", colour=LIGHT.quiet)

    def _picture(self, sheet: LookSheet) -> None:
        inside = (self._wide - 2 * _INSET_PX, _PICTURE_HIGH_PX - 2 * _INSET_PX)
        drawn = look_shapes(sheet.picture, size_px=inside, palette=LIGHT, title_px=2.0)
        wide, high = (round(side * self._scale) for side in inside)
        pixels = np.full((high, wide, 3), LIGHT.ground[:3], np.uint8)
        paint(pixels, drawn.shapes, scale=self._scale)
        place = QRectF(0, self._y, self._wide, _PICTURE_HIGH_PX)
        self._painter.fillRect(place, as_qcolor(LIGHT.ground))
        self._painter.drawImage(
            place.adjusted(_INSET_PX, _INSET_PX, -_INSET_PX, -_INSET_PX), image_over(pixels)
        )
        self._painter.setPen(QPen(as_qcolor(LIGHT.faint), 0.6))
        self._painter.drawRect(place)
        self._y += _PICTURE_HIGH_PX

    def _table(self, men: tuple[SheetMan, ...]) -> None:
        """Set a row for each man, his note below it, as far as the page goes."""
        if not men:
            return
        self._cells(tuple(name for name, _ in _COLUMNS), "small", LIGHT.quiet)
        for man in men:
            if self._y > self._high - 3 * _ROW_PX:
                self._line("… more men than the page holds", "small", colour=LIGHT.quiet)
                return
            self._rule()
            self._cells((man.who, man.owed, man.did, man.cause or "–"), "body", LIGHT.ink)
            if man.note:
                self._y -= 4
                self._line(man.note, "small", colour=LIGHT.quiet, left=_COLUMNS[1][1] * self._wide)

    def _cells(self, texts: tuple[str, ...], size: Size, colour: Colour) -> None:
        starts = [share * self._wide for _, share in _COLUMNS]
        for text, start, end in zip(texts, starts, (*starts[1:], self._wide), strict=True):
            weight = 600 if start == 0 and size == "body" else 400
            self._set(text, QRectF(start, self._y, end - start - 8, _ROW_PX), size, weight, colour)
        self._y += _ROW_PX

    def _rule(self) -> None:
        self._painter.setPen(QPen(as_qcolor(LIGHT.faint), 0.5))
        self._painter.drawLine(QPointF(0, self._y), QPointF(self._wide, self._y))

    def _line(
        self, text: str, size: Size, weight: int = 400, *, colour: Colour = LIGHT.ink,
        left: float = 0.0,
    ) -> None:  # fmt: skip
        high = 28.0 if size == "title" else 20.0
        self._set(text, QRectF(left, self._y, self._wide - left, high), size, weight, colour)
        self._y += high

    def _set(self, text: str, rect: QRectF, size: Size, weight: int, colour: Colour) -> None:
        self._painter.setFont(_type(size, weight))
        fits = self._painter.fontMetrics().elidedText(
            text, Qt.TextElideMode.ElideRight, int(rect.width())
        )
        self._painter.setPen(as_qcolor(colour))
        self._painter.drawText(rect, int(Qt.AlignmentFlag.AlignVCenter), fits)

    def _wrapped(self, text: str, size: Size, colour: Colour) -> None:
        self._painter.setFont(_type(size))
        self._painter.setPen(as_qcolor(colour))
        room = QRectF(0, self._y, self._wide, 80)
        flags = int(Qt.TextFlag.TextWordWrap)
        used = self._painter.boundingRect(room, flags, text)
        self._painter.drawText(room, flags, text)
        self._y += min(used.height(), 80)


def _type(size: Size, weight: int = 400) -> QFont:
    """Return Inter as a page is set in it: with the plain figures, which a PDF lets one find."""
    made = font(size, weight)
    made.unsetFeature(QFont.Tag("tnum"))
    return made
