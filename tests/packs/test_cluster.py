"""A cluster scheduler's executor builds a fleet as any other: a local cluster of two workers."""

from __future__ import annotations

from collections.abc import Iterator
from concurrent.futures import Executor
from pathlib import Path

import pytest

from guidegen import build_many

distributed = pytest.importorskip("distributed")
pytestmark = pytest.mark.usefixtures("tiny_documents")


@pytest.fixture
def executor() -> Iterator[Executor]:
    with (
        distributed.LocalCluster(
            n_workers=2, threads_per_worker=1, processes=False, dashboard_address=None
        ) as cluster,
        distributed.Client(cluster) as client,
        client.get_executor() as executor,
    ):
        yield executor


def test_a_cluster_builds_what_one_process_builds(executor: Executor, alder: Path, tmp_path: Path) -> None:
    text = alder.read_text()
    files = []
    for n in range(5):
        file = alder.parent / f"van {n}.yaml"
        file.write_text(text.replace("id: alder", f"id: van-{n}") if n != 3 else "id: van-3\nname: [")
        files.append(file)
    reports = {r.source: r.outcome for r in build_many(files, tmp_path / "cluster", executor=executor)}
    assert reports == {r.source: r.outcome for r in build_many(files, tmp_path / "here")}
    assert sorted(reports.values()) == ["built"] * 4 + ["failed"]

    def contents(folder: Path) -> dict[Path, bytes]:
        return {f.relative_to(folder): f.read_bytes() for f in folder.rglob("*.*") if f.is_file()}

    assert contents(tmp_path / "cluster") == contents(tmp_path / "here")
