"""Answers to looks that were asked without film, kept beside the book until rules tell them."""

from __future__ import annotations

import json
from pathlib import Path

from gradecut.errors import OutputError
from gradecut.outfile import whole_file
from gradecut.scheme.learning import Said

__all__ = ["answers_file", "read_answers", "store_answers"]

_FORM = 1


def answers_file(book: Path) -> Path:
    """Return where the answers of a book lie: beside it, as its draft does."""
    return book.with_name(f"{book.name}.answers")


def read_answers(path: Path) -> tuple[Said, ...]:
    """Read answers that were given; none where there are none, or none that can be read."""
    try:
        told = json.loads(path.read_text(encoding="utf-8"))
        if told["form"] != _FORM:
            return ()
        return tuple(
            Said(
                position=str(one["position"]),
                look={str(key): value for key, value in one["look"].items()},
                fit=str(one["fit"]),
                clip=str(one["clip"]),
            )
            for one in told["answers"]
        )
    except (OSError, ValueError, KeyError, TypeError, AttributeError):
        return ()


def store_answers(path: Path, answers: tuple[Said, ...]) -> str:
    """Store answers, whole or not at all; one sentence when that can't be done, else nothing."""
    listed = [
        {"position": one.position, "look": dict(one.look), "fit": one.fit, "clip": one.clip}
        for one in answers
    ]
    try:
        if not listed:
            path.unlink(missing_ok=True)
            return ""
        with whole_file(path) as made:
            told = json.dumps({"form": _FORM, "answers": listed}, ensure_ascii=False)
            made.write_text(told, encoding="utf-8")
    except OutputError as error:
        return f"Your answer is not stored, so closing the window would lose it: {error}"
    except OSError as error:
        reason = (error.strerror or str(error)).lower()
        return f"{path}: the old answers can't be cleared away ({reason}); remove it by hand."
    return ""
