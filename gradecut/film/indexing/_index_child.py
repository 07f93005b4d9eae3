"""What the child process runs: a film's name comes in on a line, an answer goes out."""

from __future__ import annotations

import json
import os
import sys
from pathlib import Path
from queue import SimpleQueue
from threading import Thread

from gradecut.errors import FilmError
from gradecut.film.indexing._index_build import build_index
from gradecut.film.indexing.index_bytes import pack

_MOST_MEMORY_BYTES = 4 * 1024**3


def limit_memory() -> None:
    """Bound this process's memory where the system can: a hostile file may ask for all."""
    if sys.platform == "win32":
        return
    import resource

    _, hard = resource.getrlimit(resource.RLIMIT_AS)
    most = _MOST_MEMORY_BYTES if hard == resource.RLIM_INFINITY else min(_MOST_MEMORY_BYTES, hard)
    resource.setrlimit(resource.RLIMIT_AS, (most, hard))


def answer(line: str) -> dict[str, str]:
    """Index the film a line names and say how it went."""
    asked = json.loads(line)
    try:
        Path(asked["out"]).write_bytes(pack(build_index(asked["film"])))
    except FilmError as error:
        return {"reason": error.reason}
    except MemoryError:
        return {"reason": "it asks for more memory than any film needs; it is damaged."}
    except OSError as error:
        said = (error.strerror or str(error)).lower()
        return {"reason": f"it can't be read to its end ({said}); look for it and try again."}
    return {}


def pass_on_questions(questions: SimpleQueue[str]) -> None:
    """Pass on what is asked; when nobody can ask any more, end at once.

    The process that asks may be killed while a decoder is stuck here: nothing may stay
    behind then.
    """
    for line in sys.stdin:
        questions.put(line)
    os._exit(0)


def main() -> None:
    """Answer until nobody can ask any more."""
    limit_memory()
    questions: SimpleQueue[str] = SimpleQueue()
    Thread(target=pass_on_questions, args=(questions,), daemon=True).start()
    while True:
        sys.stdout.write(json.dumps(answer(questions.get())) + "\n")
        sys.stdout.flush()


if __name__ == "__main__":
    main()
