"""What the system refuses while a pack is written: one message with what to do, and nothing changed."""

from __future__ import annotations

import errno
import os
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from guidegen.cli import run
from guidegen.messages import os_error
from guidegen.packs import writing
from guidegen.packs.building import build
from guidegen.packs.writing import Writing, write_file

# From errno(3) of the Linux manual pages: what rename(2), open(2), link(2), mkdir(2) and write(2) may answer.
REFUSALS = (
    "EACCES EPERM EBUSY ETXTBSY EXDEV EROFS ENOSPC EDQUOT ENAMETOOLONG EISDIR ENOTDIR EIO EFBIG EMFILE ELOOP ESTALE"
).split()
TO_DO = ("close", "choose", "make room", "name a", "name the", "run it again")


def contents(folder: Path) -> dict[str, bytes]:
    return {str(f.relative_to(folder)): f.read_bytes() for f in folder.rglob("*") if f.is_file()}


def refusing(name: str, number: int, at: Callable[[Path], bool]) -> Callable[..., None]:
    """The function of os, which refuses where its last path is such a one."""
    real = getattr(os, name)

    def refuse(*places: Path, **more: int) -> None:
        if at(Path(places[-1])):
            raise OSError(number, os.strerror(number), str(places[0]))
        real(*places, **more)

    return refuse


@pytest.fixture(autouse=True)
def no_pauses(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(writing, "_PAUSES_S", (0.0, 0.0))


@pytest.mark.parametrize("refusal", REFUSALS)
@pytest.mark.parametrize("locked", ["a.pdf", "c.pdf", "d.pdf"])
def test_a_file_that_cannot_be_replaced_leaves_all_as_they_were(
    refusal: str, locked: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for name in ("a.pdf", "b.pdf", "d.pdf"):
        (tmp_path / name).write_bytes(b"old " + name.encode())
    before, number = contents(tmp_path), getattr(errno, refusal)
    monkeypatch.setattr(writing.os, "replace", refusing("replace", number, lambda p: p.name == locked))
    with pytest.raises(OSError, match=locked) as caught, Writing(tmp_path) as out:
        for name in ("a.pdf", "b.pdf", "c.pdf", "d.pdf"):
            out.add(name, b"new")
    said = os_error(caught.value)
    assert said.startswith(f"{tmp_path / locked}: ")
    assert any(words in said for words in TO_DO), said
    assert contents(tmp_path) == before


@pytest.mark.usefixtures("tiny_documents")
def test_a_pack_of_which_one_file_is_open_elsewhere(
    alder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "out"
    build(alder, out)
    before = contents(out)
    alder.write_text(alder.read_text().replace("Alder 735", "Alder 736"))
    at = refusing("replace", errno.EACCES, lambda p: p.name == "alder-sketch.svg")
    monkeypatch.setattr(writing.os, "replace", at)
    assert run(["build", str(alder), "-o", str(out), "--jobs", "1"]) == 2
    (said,) = capsys.readouterr().err.splitlines()
    assert f"{out / 'alder' / 'alder-sketch.svg'}: no permission, or the file is open in another" in said
    assert contents(out) == before
    monkeypatch.undo()
    assert build(alder, out).outcome == "built"


@pytest.mark.parametrize("refusal", ["ENOSPC", "EDQUOT", "EROFS", "EACCES"])
def test_a_folder_that_cannot_be_made_leaves_none(
    refusal: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    real = Path.mkdir

    def mkdir(folder: Path, **more: bool) -> None:
        if folder.name == "larch":
            raise OSError(getattr(errno, refusal), "refused", str(folder))
        real(folder, **more)

    monkeypatch.setattr(Path, "mkdir", mkdir)
    with pytest.raises(OSError, match="refused"), Writing(tmp_path / "new" / "deep" / "larch"):
        pytest.fail("the folder was made")
    assert list(tmp_path.iterdir()) == []


def test_folders_made_for_files_that_cannot_be_moved_are_gone(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(writing.os, "replace", refusing("replace", errno.EIO, lambda p: p.name == "b.pdf"))
    with pytest.raises(OSError, match=r"b\.pdf"), Writing(tmp_path / "new" / "larch") as out:
        out.add("a.pdf", b"a")
        out.add("b.pdf", b"b")
    assert list(tmp_path.iterdir()) == []


def test_an_interruption_between_two_files_puts_the_first_back(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for name in ("a.pdf", "b.pdf"):
        (tmp_path / name).write_bytes(b"old")
    real = os.replace

    def interrupted(source: Path, target: Path) -> None:
        if target.name == "b.pdf":
            raise KeyboardInterrupt
        real(source, target)

    monkeypatch.setattr(writing.os, "replace", interrupted)
    with pytest.raises(KeyboardInterrupt), Writing(tmp_path) as out:
        for name in ("a.pdf", "b.pdf", "c.pdf"):
            out.add(name, b"new")
    assert contents(tmp_path) == {"a.pdf": b"old", "b.pdf": b"old"}


@pytest.mark.parametrize("refusal", ["EPERM", "ENOTSUP", "EMLINK"])
def test_a_disk_without_links_is_put_back_too(
    refusal: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """As link(2) answers on FAT, the file system of most USB sticks."""
    for name in ("a.pdf", "c.pdf"):
        (tmp_path / name).write_bytes(b"old")
    number = getattr(errno, refusal)
    monkeypatch.setattr(writing.os, "link", refusing("link", number, lambda _: True))
    monkeypatch.setattr(writing.os, "replace", refusing("replace", errno.EACCES, lambda p: p.name == "c.pdf"))
    with pytest.raises(PermissionError), Writing(tmp_path) as out:
        for name in ("a.pdf", "b.pdf", "c.pdf"):
            out.add(name, b"new")
    assert contents(tmp_path) == {"a.pdf": b"old", "c.pdf": b"old"}


def test_a_lock_that_is_soon_gone_is_waited_for(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A virus scanner that reads each new file holds it for an instant; common practice, no source."""
    locks = iter((True, True, False))
    monkeypatch.setattr(writing.os, "replace", refusing("replace", errno.EACCES, lambda _: next(locks)))
    write_file(tmp_path / "a.pdf", b"new")
    assert contents(tmp_path) == {"a.pdf": b"new"}


def test_a_folder_that_goes_while_its_pack_is_made(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    with pytest.raises(OSError, match="meanwhile") as caught, Writing(tmp_path / "larch") as out:
        shutil.rmtree(tmp_path / "larch")
        out.add("a.pdf", b"a")
    assert caught.value.filename == str(tmp_path / "larch" / "a.pdf")
    assert list(tmp_path.iterdir()) == []


@pytest.mark.skipif(os.name == "nt", reason="POSIX links and devices")
class TestOddPlaces:
    def test_a_circle_of_links(self, alder: Path, capsys: pytest.CaptureFixture[str]) -> None:
        one, two = alder.with_name("one.pdf"), alder.with_name("two.pdf")
        one.symlink_to(two)
        two.symlink_to(one)
        for place in (one, one / "x.pdf"):
            assert run(["survey", str(alder), "-o", str(place)]) == 2
            said = capsys.readouterr().err.splitlines()
            assert len(said) == 1
            assert "circle" in said[0] or "choose another folder" in said[0]
        assert one.is_symlink()

    def test_standard_output_that_is_closed_or_full(self, alder: Path) -> None:
        command = f"'{sys.executable}' -m guidegen survey '{alder}' -o -"
        for place, words in ((">&-", "name a file"), (">/dev/full", "make room")):
            done = subprocess.run(f"{command} {place}", shell=True, capture_output=True, text=True)
            assert done.returncode == 2
            assert words in done.stderr.splitlines()[0]

    def test_a_real_limit_on_the_size_of_files(self, alder: Path) -> None:
        """setrlimit(2): a write beyond RLIMIT_FSIZE fails with EFBIG, as on a disk that cannot hold the file."""
        import resource

        file = alder.with_name("survey.pdf")
        file.write_bytes(b"old")
        before = contents(alder.parent)
        done = subprocess.run(
            [sys.executable, "-B", "-m", "guidegen", "survey", str(alder), "-o", str(file)],
            preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_FSIZE, (4096, 4096)),
            capture_output=True,
            text=True,
        )
        assert done.returncode == 2
        assert done.stderr.count("\n") == 1
        assert f"{file}: the file is larger than that disk can hold" in done.stderr
        assert contents(alder.parent) == before

    @pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() == 0, reason="root may write anywhere")
    def test_a_folder_without_permission(self, alder: Path, capsys: pytest.CaptureFixture[str]) -> None:
        folder = alder.parent / "shut"
        folder.mkdir(mode=0o555)
        assert run(["survey", str(alder), "-o", str(folder / "x.pdf")]) == 2
        assert "choose another folder" in capsys.readouterr().err


@pytest.mark.usefixtures("tiny_documents")
@pytest.mark.parametrize("name", ['it\'s "here"', "-o", "two\nlines", "größe 名", "\udcff"])
def test_what_was_built_is_told_in_one_line(
    name: str, alder: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / name
    assert run(["build", str(alder), f"--output={out}", "--jobs", "1"]) == 0
    said = capsys.readouterr().err.splitlines()
    assert [line.split()[0] for line in said] == ["built"]
    assert set(contents(out)) == {
        f"alder/{file}"
        for file in ("alder-note.pdf", "alder-sketch.pdf", "alder-sketch.svg", ".guidegen.json")
    }
