"""What the child process runs: a film's name comes in on a line, an answer goes out."""

from __future__ import annotations

import json
import sys
from pathlib import Path

from gradecut.errors import FilmError
from gradecut.film._index_build import build_index
from gradecut.film.index_bytes import pack

_MOST_MEMORY_BYTES = 8 * 1024**3


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
    return {}


def main() -> None:
    """Answer until nothing more is asked."""
    limit_memory()
    for line in sys.stdin:
        sys.stdout.write(json.dumps(answer(line)) + "\n")
        sys.stdout.flush()


if __name__ == "__main__":
    main()
