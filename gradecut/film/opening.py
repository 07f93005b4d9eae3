"""Opening a container with care: only files, only film, every fault one sentence."""

from __future__ import annotations

import os
import stat
from os import PathLike
from pathlib import Path

import av
from av.container import InputContainer
from av.stream import Disposition
from av.video.stream import VideoStream

from gradecut.errors import FilmError
from gradecut.film.indexing.mp4_boxes import outer_boxes

__all__ = ["NO_FILM", "check_file", "first_words", "open_container", "shown_stream"]

MOST_SIDE_PX = 16_384
"""Longest side of a frame we open, in pixels."""

NO_FILM = "it can't be read as film; copy it from the camera again, or export it as MP4 (H.264)"

# Demuxers of film files. Leaves out playlists, picture sequences and text: those would let
# a file named .mp4 point at other files or be drawn as film.
_FORMATS = (
    "mov,mp4,m4a,3gp,3g2,mj2,matroska,webm,avi,mpegts,mpeg,mpegvideo,h264,hevc,m4v,mjpeg,"
    "flv,live_flv,asf,asf_o,mxf,dv,ogg,wtv,rm,nut,obu,ivf,av1,gxf,nsv"
)
_PICTURE_STARTS = {
    b"\x89PNG": "PNG",
    b"\xff\xd8\xff": "JPEG",
    b"GIF8": "GIF",
    b"BM": "BMP",
    b"II*\x00": "TIFF",
    b"MM\x00*": "TIFF",
}


def check_file(path: str | PathLike[str]) -> os.stat_result:
    """Refuse what is no readable file with something in it, and return its state.

    Raises
    ------
    FilmError
        One sentence: missing, a folder, empty or not readable.
    """
    try:
        state = os.stat(path)
    except FileNotFoundError as error:
        raise FilmError(
            path, "there is no such file; check the name, or connect the drive it is on."
        ) from error
    except (OSError, ValueError) as error:
        raise FilmError(path, f"it can't be read ({_plain(error)}).") from error
    if stat.S_ISDIR(state.st_mode):
        raise FilmError(path, "this is a folder, not a film; name one film in it.")
    if not stat.S_ISREG(state.st_mode):
        raise FilmError(path, "this is no ordinary file; copy the film to a disk first.")
    if not state.st_size:
        raise FilmError(path, "the file is empty (0 bytes); copy it again from the camera.")
    return state


def open_container(path: str | PathLike[str]) -> InputContainer:
    """Open a film's container.

    Raises
    ------
    FilmError
        One sentence saying what the file is instead of a film.
    """
    check_file(path)
    try:
        return av.open(
            str(Path(path).absolute()),
            options={"format_whitelist": _FORMATS, "protocol_whitelist": "file"},
            metadata_errors="replace",
        )
    except (av.FFmpegError, OSError, ValueError) as error:
        raise FilmError(path, _why_unreadable(path, error)) from error


def shown_stream(path: str | PathLike[str], container: InputContainer) -> tuple[VideoStream, int]:
    """Return the stream to show and how many streams of moving pictures there are.

    Of several the largest picture is shown, of equals the first.

    Raises
    ------
    FilmError
        When there is none, its codec is unknown, or its size is absurd.
    """
    moving = [
        stream
        for stream in container.streams.video
        if not stream.disposition & Disposition.attached_pic
    ]
    if not moving:
        heard = "sound but no moving picture" if container.streams.audio else "no moving picture"
        raise FilmError(path, f"it holds {heard}; choose the film itself.")
    known = [stream for stream in moving if getattr(stream, "codec_context", None) is not None]
    if not known:
        raise FilmError(
            path, "its picture is stored in a way we don't know; export it again as MP4 (H.264)."
        )
    shown = max(known, key=lambda stream: stream.codec_context.width * stream.codec_context.height)
    check_size(path, shown.codec_context.width, shown.codec_context.height)
    return shown, len(moving)


def check_size(path: str | PathLike[str], width: int, height: int) -> None:
    """Refuse pictures without a size or larger than any camera makes.

    Raises
    ------
    FilmError
        Naming the size.
    """
    if max(width, height) > MOST_SIDE_PX:
        raise FilmError(
            path,
            f"it claims a picture of {width} x {height} px, more than {MOST_SIDE_PX} on a side; "
            "the file is damaged, or is no film.",
        )
    if width < 1 or height < 1:
        raise FilmError(
            path,
            "it names no size for its picture, or one that can't be; it is damaged: copy it again "
            "from the camera.",
        )


def first_words(path: str | PathLike[str], count: int = 4096) -> bytes:
    """Return the first bytes of a file; empty when they can't be read."""
    try:
        with open(path, "rb") as file:
            return file.read(count)
    except OSError:
        return b""


def _why_unreadable(path: str | PathLike[str], error: Exception) -> str:
    """Say what a file is that no demuxer takes."""
    if isinstance(error, PermissionError):
        return "you are not allowed to read it; change its permissions or copy it."
    start = first_words(path)
    for mark, name in _PICTURE_STARTS.items():
        if start.startswith(mark):
            return f"this is a picture ({name}), not a film; choose the film itself."
    if start[8:12] == b"WAVE" or start.startswith((b"ID3", b"fLaC")):
        return "this is sound, not a film; choose the film itself."
    if start[4:8] == b"ftyp":
        return _why_mp4(path)
    if _is_text(start):
        return "this is a text file, not a film, whatever its name says; choose the film itself."
    return f"{NO_FILM}."


def _why_mp4(path: str | PathLike[str]) -> str:
    """Tell an MP4 without its index from one that is damaged."""
    if any(box.name == "moov" for box in outer_boxes(path)):
        return "its index is damaged; copy it again from the camera."
    return (
        "the recording or the copying stopped before its index was written (no moov box); "
        "copy it again from the camera."
    )


def _is_text(start: bytes) -> bool:
    """Whether bytes read as text."""
    try:
        said = start[: len(start) - 3].decode("utf-8") if len(start) > 3 else start.decode("utf-8")
    except UnicodeDecodeError:
        return False
    return bool(said) and all(letter.isprintable() or letter in "\r\n\t\f" for letter in said)


def _plain(error: Exception) -> str:
    """Say an error of the system in lower case."""
    return (getattr(error, "strerror", None) or str(error)).lower()
