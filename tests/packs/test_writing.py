"""Files appear whole or not at all, and nothing is left behind."""

from __future__ import annotations

import errno
import os
import stat
import time
from pathlib import Path

import pytest

from guidegen.packs import writing
from guidegen.packs.writing import Writing, write_file


def contents(folder: Path) -> dict[str, bytes]:
    return {file.name: file.read_bytes() for file in folder.iterdir()}


def test_files_appear_together_when_the_block_ends(tmp_path: Path) -> None:
    with Writing(tmp_path) as out:
        out.add("a.pdf", b"a")
        out.add("b.pdf", b"b")
        assert not {"a.pdf", "b.pdf"} & contents(tmp_path).keys()
    assert contents(tmp_path) == {"a.pdf": b"a", "b.pdf": b"b"}


def test_after_an_error_the_folder_is_as_it_was(tmp_path: Path) -> None:
    (tmp_path / "a.pdf").write_bytes(b"old")
    with pytest.raises(RuntimeError), Writing(tmp_path) as out:
        out.add("a.pdf", b"new")
        out.add("b.pdf", b"b")
        raise RuntimeError
    assert contents(tmp_path) == {"a.pdf": b"old"}


def test_after_an_error_folders_made_for_it_are_gone(tmp_path: Path) -> None:
    with pytest.raises(RuntimeError), Writing(tmp_path / "new" / "larch") as out:
        out.add("a.pdf", b"a")
        raise RuntimeError
    assert contents(tmp_path) == {}


def test_disk_full_on_the_second_file_leaves_the_first_old(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "a.pdf").write_bytes(b"old")
    real_open = os.open

    def open_once(path: Path, flags: int, mode: int) -> int:
        if len(list(tmp_path.iterdir())) > 1:
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC), str(path))
        return real_open(path, flags, mode)

    monkeypatch.setattr(writing.os, "open", open_once)
    with pytest.raises(OSError, match="No space left") as caught, Writing(tmp_path) as out:
        out.add("a.pdf", b"new")
        out.add("b.pdf", b"b")
    assert caught.value.filename == str(tmp_path / "b.pdf")
    assert contents(tmp_path) == {"a.pdf": b"old"}


def test_file_that_cannot_be_replaced_puts_those_before_it_back(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """As on systems where a file that is open elsewhere is locked."""
    (tmp_path / "b.pdf").write_bytes(b"old b")
    (tmp_path / "c.pdf").write_bytes(b"old c")
    real_replace = os.replace

    def locked(source: Path, target: Path) -> None:
        if Path(target).name == "c.pdf" and "old" not in Path(source).name:
            raise PermissionError(errno.EACCES, "locked", str(source))
        real_replace(source, target)

    monkeypatch.setattr(writing.os, "replace", locked)
    with pytest.raises(PermissionError) as caught, Writing(tmp_path) as out:
        for name in ("a.pdf", "b.pdf", "c.pdf"):
            out.add(name, b"new")
    assert caught.value.filename == str(tmp_path / "c.pdf")
    assert contents(tmp_path) == {"b.pdf": b"old b", "c.pdf": b"old c"}


def test_target_that_is_a_folder_is_refused_before_anything_is_replaced(tmp_path: Path) -> None:
    (tmp_path / "b.pdf").mkdir()
    with pytest.raises(IsADirectoryError), Writing(tmp_path) as out:
        out.add("a.pdf", b"a")
        out.add("b.pdf", b"b")
    assert [f.name for f in tmp_path.iterdir()] == ["b.pdf"]


def test_output_folder_that_is_a_file(tmp_path: Path) -> None:
    (tmp_path / "out").write_text("")
    with pytest.raises(OSError, match="out"), Writing(tmp_path / "out"):
        pytest.fail("the folder was accepted")


@pytest.mark.skipif(os.name == "nt", reason="POSIX modes")
def test_files_have_the_mode_that_the_umask_gives(tmp_path: Path) -> None:
    before = os.umask(0o027)
    try:
        write_file(tmp_path / "a.pdf", b"")
    finally:
        os.umask(before)
    assert stat.S_IMODE((tmp_path / "a.pdf").stat().st_mode) == 0o640


@pytest.mark.skipif(os.name == "nt", reason="POSIX modes and links")
def test_a_replaced_file_keeps_its_mode_and_the_link_to_it(tmp_path: Path) -> None:
    file, link = tmp_path / "real.yaml", tmp_path / "link.yaml"
    file.write_bytes(b"old")
    file.chmod(0o600)
    link.symlink_to(file)
    write_file(link, b"new")
    assert link.is_symlink()
    assert file.read_bytes() == b"new"
    assert stat.S_IMODE(file.stat().st_mode) == 0o600


def test_leftovers_of_a_killed_run_go_when_they_are_old(tmp_path: Path) -> None:
    old, fresh = tmp_path / ".guidegen-00.tmp", tmp_path / ".guidegen-01.tmp"
    old.touch()
    fresh.touch()
    os.utime(old, (time.time() - 7200,) * 2)
    write_file(tmp_path / "a.pdf", b"a")
    assert contents(tmp_path) == {".guidegen-01.tmp": b"", "a.pdf": b"a"}


def test_a_device_is_written_to_and_not_replaced() -> None:
    write_file(Path(os.devnull), b"gone")
    assert not Path(os.devnull).is_file()


@pytest.mark.parametrize(
    "name",
    [
        "with blanks.pdf",
        "größe-żółw.pdf",
        "名前.pdf",
        "-leading.pdf",
        'it\'s "$x".pdf',
        "two\nlines.pdf",
        "\udcff.pdf",
    ],
    ids=["blanks", "accents", "ideographs", "leading dash", "quotes", "line break", "not UTF-8"],
)
def test_any_name(tmp_path: Path, name: str) -> None:
    write_file(tmp_path / name, b"x")
    assert contents(tmp_path) == {name: b"x"}
