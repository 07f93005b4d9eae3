"""Where a book may lie, and what kind of file is there."""

from __future__ import annotations

import os
import re
import sys
from pathlib import Path

from gradecut.errors import BookError

__all__ = ["look_at_book", "look_at_place", "network_kind"]

_MAGIC = b"SQLite format 3\0"
_NETWORK = re.compile(
    r"(fuse\.)?(afs|ceph|cifs|coda|davfs2?|glusterfs|lustre|ncpfs|nfs\d?|rclone|smb\d?|smbfs|sshfs)"
)
_REMOTE_DRIVE = 4  # what GetDriveTypeW answers for a network drive


def look_at_place(path: Path) -> None:
    """Refuse a place where a book would not be safe.

    Raises
    ------
    BookError
        When the path is a folder, lies on a network drive, or is no name a file can have.
    """
    if "\0" in str(path):
        named = str(path).replace("\0", "\N{REPLACEMENT CHARACTER}")
        raise BookError(f"{named}: holds a sign no name can hold (NUL); name the book without.")
    try:
        a_folder = path.is_dir()
    except OSError as error:
        why = (error.strerror or str(error)).lower()
        raise BookError(
            f"{path}: the book can't be looked for ({why}); check its name and your rights to it."
        ) from error
    if a_folder:
        raise BookError(f"{path}: this is a folder; name the .gradecut file in it.")
    found = _network_drive(path)
    if found:
        raise BookError(
            f"{path}: a book can't be kept on a network drive ({found}), where two writers "
            "would damage it; keep it on this computer's own disk."
        )


def look_at_book(path: Path) -> None:
    """Refuse a file that can't be a book, or can't be written to.

    Raises
    ------
    BookError
        When it is missing, empty, not SQLite, or may not be read or written.
    """
    try:
        with path.open("rb") as file:
            head = file.read(len(_MAGIC))
    except FileNotFoundError:
        raise BookError(
            f"{path}: there is no book there; check the name, or start one with “gradecut new”."
        ) from None
    except OSError as error:
        why = (error.strerror or str(error)).lower()
        raise BookError(f"{path}: the book can't be read ({why}); check your rights to it.") from (
            error
        )
    if not head:
        raise BookError(
            f"{path}: the file is empty; go back to a backup copy, or start a new book."
        )
    if head != _MAGIC:
        raise BookError(
            f"{path}: this is no gradecut book, whatever its name; choose one that gradecut made."
        )
    if not (_may_write(path) and _may_write(path.parent)):
        raise BookError(f"{path}: it can only be read there; copy it to a folder you can write to.")


def _may_write(path: Path) -> bool:
    """Ask whether this process may write to a file or folder."""
    return os.access(path, os.W_OK, effective_ids=os.access in os.supports_effective_ids)


def network_kind(path: str, mounts: str) -> str:
    """Return the kind of network drive a path lies on; empty when it is on a local disk.

    Parameters
    ----------
    path : str
        Absolute, with links resolved.
    mounts : str
        Mounted file systems as Linux lists them in /proc/mounts: device, folder, kind.
    """
    nearest, kind = "", ""
    for line in mounts.splitlines():
        parts = line.split()
        if len(parts) < 3:
            continue
        folder = parts[1].encode().decode("unicode_escape")  # a space is written \040
        inside = path == folder or path.startswith(folder.rstrip("/") + "/")
        if inside and len(folder) >= len(nearest):
            nearest, kind = folder, parts[2]
    return kind if _NETWORK.fullmatch(kind) else ""


def _network_drive(path: Path) -> str:
    """Ask the system whether a path lies on a network drive, as far as it tells."""
    if sys.platform == "win32":
        import ctypes

        whole = str(path.resolve())
        if whole.startswith("\\\\"):
            return "a shared folder"
        remote = ctypes.windll.kernel32.GetDriveTypeW(path.resolve().anchor) == _REMOTE_DRIVE
        return "a mapped drive" if remote else ""
    try:
        mounts = Path("/proc/mounts").read_text(encoding="utf-8", errors="surrogateescape")
    except OSError:
        return ""
    return network_kind(str(path.resolve()), mounts)
