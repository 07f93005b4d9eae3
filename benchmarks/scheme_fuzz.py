"""Spoils the sample scheme in every way it can, for some seconds.

Whatever comes of it has to load, or to be refused with faults that each have a line and one
sentence; a scheme that loads has to answer, or refuse the look. Anything else is printed with the
seed that makes it again, and the script fails.

    python -m benchmarks.scheme_fuzz [--seconds 30] [--seed 1]
"""

from __future__ import annotations

import argparse
import random
import sys
import tempfile
import time
from collections import Counter
from pathlib import Path

from gradecut.samples import week_folder
from tests.scheme.spoilt_files import spoil, try_file

__all__ = ["main"]

SLOW_S = 5.0


def main() -> int:
    """Spoil and try until the time is over; give 1 when something came out that may not."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else "")
    parser.add_argument("--seconds", type=float, default=30.0)
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args()
    good = (week_folder() / "harbor.toml").read_bytes()
    found: Counter[str] = Counter()
    end, seed, slowest = time.monotonic() + asked.seconds, asked.seed, 0.0
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "spoilt.toml"
        while time.monotonic() < end:
            draw = random.Random(seed)
            path.write_bytes(spoil(draw, good))
            begun = time.process_time()
            try:
                found[try_file(draw, path)] += 1
            except Exception as error:  # noqa: BLE001 - anything at all is what is looked for
                found["WRONG"] += 1
                print(f"seed {seed}: {type(error).__name__}: {error}")
            took = time.process_time() - begun
            slowest = max(slowest, took)
            if took > SLOW_S:
                found["WRONG"] += 1
                print(f"seed {seed}: {took:.1f} s")
            seed += 1
    told = ", ".join(f"{count} {what}" for what, count in found.most_common())
    print(f"{seed - asked.seed} files: {told}; slowest {slowest:.2f} s")
    return 1 if found["WRONG"] else 0


if __name__ == "__main__":
    sys.exit(main())
