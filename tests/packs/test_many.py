"""Many vehicles: each reported, a failure stops no other, any executor, flat memory."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from concurrent.futures import Executor, ProcessPoolExecutor, ThreadPoolExecutor
from pathlib import Path

import pytest

from guidegen import build_many
from guidegen.packs import many
from guidegen.packs.sources import NoDescriptionError, description_files

pytestmark = pytest.mark.usefixtures("tiny_documents")


@pytest.fixture
def fleet(alder: Path) -> list[Path]:
    """Six vehicles, the third of them unreadable."""
    text = alder.read_text()
    files = []
    for n in range(6):
        file = alder.parent / f"van {n}.yaml"
        file.write_text(text.replace("id: alder", f"id: van-{n}") if n != 2 else "id: van-2\nname: [")
        files.append(file)
    return files


@pytest.mark.parametrize(
    "make",
    [lambda: None, lambda: ThreadPoolExecutor(2), lambda: ProcessPoolExecutor(2)],
    ids=["in this process", "threads", "processes"],
)
def test_one_failure_and_the_rest_goes_on(
    make: Callable[[], Executor | None], fleet: list[Path], tmp_path: Path
) -> None:
    executor = make()
    reports = {r.source: r for r in build_many(fleet, tmp_path / "out", executor=executor)}
    if executor:
        executor.shutdown()
    assert reports.keys() == set(fleet)
    assert [reports[f].outcome for f in fleet] == ["built"] * 2 + ["failed"] + ["built"] * 3
    packs = {f.name for f in (tmp_path / "out").iterdir()}
    assert packs == {"van-0", "van-1", "van-3", "van-4", "van-5"}


def test_same_bytes_by_any_executor(fleet: list[Path], tmp_path: Path) -> None:
    list(build_many(fleet, tmp_path / "a"))
    with ProcessPoolExecutor(2) as pool:
        list(build_many(reversed(fleet), tmp_path / "b", executor=pool))
    first = {f.relative_to(tmp_path / "a"): f.read_bytes() for f in (tmp_path / "a").rglob("*.*")}
    second = {f.relative_to(tmp_path / "b"): f.read_bytes() for f in (tmp_path / "b").rglob("*.*")}
    assert len(first) == 5 * 4
    assert first == second


@pytest.mark.parametrize("parallel", [False, True])
def test_two_descriptions_with_one_id_do_not_overwrite_each_other(
    parallel: bool, fleet: list[Path], tmp_path: Path
) -> None:
    twin = fleet[0].with_name("twin.yaml")
    twin.write_text(fleet[0].read_text())
    pool = ThreadPoolExecutor(2) if parallel else None
    reports = {r.source: r for r in build_many([fleet[0], twin], tmp_path, executor=pool)}
    assert reports[fleet[0]].outcome == "built"
    assert reports[twin].failed
    assert "“van-0”" in reports[twin].message
    assert str(fleet[0]) in reports[twin].message


def test_descriptions_are_handed_out_little_by_little(fleet: list[Path], tmp_path: Path) -> None:
    taken = 0

    def endless() -> Iterator[Path]:
        nonlocal taken
        while True:
            taken += 1
            yield tmp_path / f"none-{taken}.yaml"

    with ThreadPoolExecutor(1) as pool:
        reports = build_many(endless(), tmp_path, executor=pool)
        for _ in range(100):
            assert next(reports).failed
        reports.close()  # type: ignore[attr-defined]
    assert taken <= 100 + many._WAITING


def test_a_worker_that_dies_is_told(fleet: list[Path], tmp_path: Path, tiny_documents) -> None:  # type: ignore[no-untyped-def]
    import os

    tiny_documents.compose = lambda context: os._exit(9)
    with ProcessPoolExecutor(1) as pool:
        reports = list(build_many(fleet[:2], tmp_path, executor=pool))
    assert [r.exit_code for r in reports] == [3, 3]
    assert "ended early" in reports[0].message


def test_report_as_json_values(fleet: list[Path], tmp_path: Path) -> None:
    record = next(build_many(fleet, tmp_path)).to_record()
    assert record["outcome"] == "built"
    assert record["folder"] == str(tmp_path / "van-0")
    assert record["findings"] == [] or {"file", "line", "column"} <= record["findings"][0].keys()


def test_folders_stand_for_the_descriptions_in_them(fleet: list[Path], tmp_path: Path) -> None:
    (fleet[0].parent / "notes.txt").touch()
    files = list(description_files([fleet[3], fleet[0].parent]))
    assert files == [fleet[3], fleet[0].parent / "alder.yaml", *fleet[:3], *fleet[4:]]
    (tmp_path / "empty").mkdir()
    with pytest.raises(NoDescriptionError, match="no vehicle description"):
        list(description_files([tmp_path / "empty"]))


def test_a_folder_is_read_without_what_systems_hide_in_it(tmp_path: Path) -> None:
    for name in ("._larch.yaml", ".yaml", "larch.yaml", "RENTAL.YML", "notes.yaml.txt"):
        (tmp_path / name).touch()
    assert [file.name for file in description_files([tmp_path])] == ["RENTAL.YML", "larch.yaml"]
