#!/usr/bin/env python3
"""Set gradecut up on this machine and run it, test it or check it.

    python3 dev.py demo      do the main job on the sample clips
    python3 dev.py window    open the window on the sample week
    python3 dev.py test      run the tests
    python3 dev.py check     format, lint, types, import contracts, then the tests
    python3 dev.py run ...   any gradecut command, for example: run film FILE

Needs nothing but Python 3.11 or newer and the package registry. The first start makes a
virtual environment in .venv; later starts find it as it was left and take seconds.
"""

from __future__ import annotations

import ctypes
import hashlib
import os
import shutil
import subprocess
import sys
from collections.abc import Mapping, Sequence
from pathlib import Path

HERE = Path(__file__).resolve().parent
VENV = HERE / ".venv"
STAMP = VENV / "gradecut-installed"
OLDEST = (3, 11)

# What a window needs of the system: the Debian package and the library that shows it is there.
WINDOW_LIBRARIES = {
    "libglib2.0-0": "libglib-2.0.so.0",
    "libgl1": "libGL.so.1",
    "libegl1": "libEGL.so.1",
    "libdbus-1-3": "libdbus-1.so.3",
    "libfontconfig1": "libfontconfig.so.1",
    "libxkbcommon0": "libxkbcommon.so.0",
    "libxcb-cursor0": "libxcb-cursor.so.0",
    "libxcb-icccm4": "libxcb-icccm.so.4",
    "libxcb-keysyms1": "libxcb-keysyms.so.1",
    "libxcb-shape0": "libxcb-shape.so.0",
    "libxkbcommon-x11-0": "libxkbcommon-x11.so.0",
    "libpulse0": "libpulse.so.0",  # these two for sound
    "libgssapi-krb5-2": "libgssapi_krb5.so.2",
}
# What the browser's driver needs.
TEST_LIBRARIES = {"libatomic1": "libatomic.so.1"}
# What the tests drive besides: a screen that nobody sees, a browser, and FFmpeg's own programs,
# which decode film once more beside us.
TEST_PROGRAMS = {"xvfb": "Xvfb", "xauth": "xauth", "chromium": "chromium", "ffmpeg": "ffmpeg"}


def main(words: Sequence[str]) -> int:
    """Do what the first word says and return the exit status."""
    commands = {"demo", "window", "test", "check", "run"}
    if sys.version_info < OLDEST:
        print(
            f"gradecut needs Python {OLDEST[0]}.{OLDEST[1]} or newer; this is "
            f"{sys.version.split()[0]}. Start dev.py with a newer python3.",
            file=sys.stderr,
        )
        return 1
    if not words or words[0] not in commands:
        print(__doc__.strip(), file=sys.stderr)
        return 2
    command, rest = words[0], list(words[1:])
    try:
        prepare_system(command)
        python = prepare_python()
    except (OSError, subprocess.CalledProcessError) as error:
        print(f"dev.py: setting up failed: {error}", file=sys.stderr)
        return 1
    if command == "test":
        return test(python, rest)
    if command == "check":
        return check(python, rest)
    return call([python, "-m", "gradecut", *(["demo"] if command == "demo" else []), *rest])


def test(python: Path, rest: Sequence[str]) -> int:
    """Run the core's tests where PyQt6 can't be imported, then the window's."""
    core = [python, "-m", "pytest", "-p", "no:pytest-qt", "-p", "tests.without_qt"]
    window = [python, "-m", "pytest"]
    quiet = {"QT_QPA_PLATFORM": "offscreen", "PYTEST_QT_API": "pyqt6"}
    if rest:
        return call([*window, *rest], quiet)
    cored = call([*core, "tests", "--ignore=tests/app"], quiet)
    windowed = call([*window, "tests/app"], quiet)
    return cored or windowed


def check(python: Path, rest: Sequence[str]) -> int:
    """Format, lint, check types and import contracts, then run the tests."""
    steps = [
        [python, "-m", "ruff", "format", "."],
        [python, "-m", "ruff", "check", "."],
        [python, "-m", "mypy"],
        [python.with_name("lint-imports"), "--no-cache"],
    ]
    for step in steps:
        status = call(step)
        if status:
            return status
    return test(python, rest)


def prepare_python() -> Path:
    """Make the virtual environment when it is not there or not up to date; return its Python."""
    python = VENV / ("Scripts/python.exe" if os.name == "nt" else "bin/python")
    wanted = hashlib.sha256(
        (HERE / "pyproject.toml").read_bytes() + sys.version.encode()
    ).hexdigest()
    if python.exists() and STAMP.exists() and STAMP.read_text(encoding="utf-8") == wanted:
        return python
    print("Setting up .venv (the first start takes a few minutes) …", file=sys.stderr)
    subprocess.run([sys.executable, "-m", "venv", "--clear", str(VENV)], check=True)
    pip = [str(python), "-m", "pip", "install", "--quiet", "--disable-pip-version-check"]
    subprocess.run([*pip, "--editable", f"{HERE}[dev]"], check=True)
    STAMP.write_text(wanted, encoding="utf-8")
    return python


def prepare_system(command: str) -> None:
    """Install or name what the system must bring: on Debian and Ubuntu as root, install it."""
    missing = []
    if not has_venv():
        missing.append("python3-venv")
    libraries = WINDOW_LIBRARIES if command in {"window", "test", "check"} else {}
    if command in {"test", "check"}:
        libraries = libraries | TEST_LIBRARIES
    missing += [package for package, library in libraries.items() if not loads(library)]
    if command in {"test", "check"}:
        missing += [package for package, name in TEST_PROGRAMS.items() if not shutil.which(name)]
    if not missing or not sys.platform.startswith("linux"):
        return
    apt = shutil.which("apt-get")
    if apt and os.geteuid() == 0:
        print(f"Installing system packages: {' '.join(missing)} …", file=sys.stderr)
        quiet = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
        for words in (["update"], ["install", "--yes", "--no-install-recommends", *missing]):
            subprocess.run([apt, "--quiet=2", *words], check=True, env=quiet, stdout=sys.stderr)
    elif apt:
        print(f"Please install first: sudo apt-get install {' '.join(missing)}", file=sys.stderr)
    else:
        print(f"This machine lacks (Debian's names): {' '.join(missing)}", file=sys.stderr)


def has_venv() -> bool:
    """Tell whether this Python can make virtual environments with pip in them."""
    probe = [sys.executable, "-c", "import ensurepip, venv"]
    return subprocess.run(probe, check=False, capture_output=True).returncode == 0


def loads(library: str) -> bool:
    """Tell whether the system has a shared library."""
    try:
        ctypes.CDLL(library)
    except OSError:
        return False
    return True


def call(words: Sequence[str | Path], more: Mapping[str, str] | None = None) -> int:
    """Run a program here and return its exit status."""
    env = {**os.environ, **(more or {})}
    try:
        return subprocess.run(
            [str(word) for word in words], check=False, cwd=HERE, env=env
        ).returncode
    except KeyboardInterrupt:
        return 130


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
