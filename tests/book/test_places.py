"""A network drive is known where Linux tells of it."""

from __future__ import annotations

from pathlib import Path

import pytest

from gradecut.book import open_book
from gradecut.book.places import network_kind
from gradecut.errors import BookError

# The form of proc_mounts(5): device, folder (space as \040), kind, options.
MOUNTS = """\
/dev/sda1 / ext4 rw 0 0
office:/film /mnt/film nfs4 rw 0 0
//office/staff /mnt/our\\040staff cifs rw 0 0
/dev/sdb1 /mnt/film/local ext4 rw 0 0
me@office: /home/coach/far fuse.sshfs rw 0 0
broken
"""


@pytest.mark.parametrize(
    ("path", "kind"),
    [
        ("/home/coach/week.gradecut", ""),
        ("/mnt/film/week.gradecut", "nfs4"),
        ("/mnt/film", "nfs4"),
        ("/mnt/film2/week.gradecut", ""),
        ("/mnt/film/local/week.gradecut", ""),
        ("/mnt/our staff/week.gradecut", "cifs"),
        ("/home/coach/far/week.gradecut", "fuse.sshfs"),
    ],
)
def test_the_nearest_mount_decides(path: str, kind: str) -> None:
    """A drive mounted inside another one counts by itself."""
    assert network_kind(path, MOUNTS) == kind


def test_a_network_drive_is_refused(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A book is neither started nor opened on a network drive."""
    monkeypatch.setattr("gradecut.book.places._network_drive", lambda _: "nfs4")
    for create in (True, False):
        with pytest.raises(BookError, match=r"can't be kept on a network drive \(nfs4\)"):
            open_book(path, create=create)
    assert not path.exists()


@pytest.mark.parametrize("name", ["a" * 300 + ".gradecut", "no\0pe.gradecut"])
@pytest.mark.parametrize("create", [False, True])
def test_a_name_no_file_can_have_is_refused(tmp_path: Path, name: str, create: bool) -> None:
    """Too long for a disk, or with a NUL in it: a sentence, and no book is made."""
    with pytest.raises(BookError, match=r"too long|\(NUL\)"):
        open_book(tmp_path / name, create=create)
    assert list(tmp_path.iterdir()) == []
