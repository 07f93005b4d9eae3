"""Written films seen by others: FFmpeg's own programs, and a reader of boxes."""

from __future__ import annotations

import json
import shutil
import subprocess
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray


def program(name: str) -> str:
    """Return where a program lies."""
    found = shutil.which(name)
    assert found, "These tests need FFmpeg; python3 dev.py test installs or names it."
    return found


def seen_by_ffmpeg(path: Path, width: int, height: int) -> NDArray[np.uint8]:
    """Return (N, H, W, 3) RGB: every frame as FFmpeg's command line decodes it."""
    done = subprocess.run(
        [program("ffmpeg"), "-v", "error", "-i", str(path), "-an", "-fps_mode", "passthrough",
         "-f", "rawvideo", "-pix_fmt", "rgb24", "-"],
        check=True, capture_output=True,
    )  # fmt: skip
    return np.frombuffer(done.stdout, np.uint8).reshape(-1, height, width, 3)


def heard_by_ffmpeg(path: Path, hz: int, channels: int) -> NDArray[np.float32]:
    """Return (N, C) samples of a film as FFmpeg's command line decodes them."""
    done = subprocess.run(
        [program("ffmpeg"), "-v", "error", "-i", str(path), "-vn", "-ac", str(channels),
         "-ar", str(hz), "-f", "f32le", "-"],
        check=True, capture_output=True,
    )  # fmt: skip
    return np.frombuffer(done.stdout, np.float32).reshape(-1, channels)


def told_by_ffprobe(path: Path) -> dict[str, dict[str, Any]]:
    """Return what FFmpeg's prober says of the streams, by kind."""
    done = subprocess.run(
        [program("ffprobe"), "-v", "error", "-show_streams", "-of", "json", str(path)],
        check=True, capture_output=True,
    )  # fmt: skip
    return {one["codec_type"]: one for one in json.loads(done.stdout)["streams"]}


def outer_boxes(path: Path) -> list[str]:
    """Return the names of a file's outermost boxes in order (ISO/IEC 14496-12, 4.2)."""
    data = path.read_bytes()
    names: list[str] = []
    at = 0
    while at < len(data):
        size = int.from_bytes(data[at : at + 4], "big")
        names.append(data[at + 4 : at + 8].decode("ascii"))
        if size == 1:
            size = int.from_bytes(data[at + 8 : at + 16], "big")
        assert size >= 8
        at += size
    return names
