"""A registry with two tiny documents, and a vehicle file in a folder of its own."""

from __future__ import annotations

import os
import shutil
import sys
from collections.abc import Callable
from pathlib import Path
from types import ModuleType

import pytest

from guidegen.documents.context import Context
from guidegen.documents.registry import DOCUMENTS, Entry
from guidegen.drawing.primitives import Document, Line, Sheet, Style, Text

SAMPLE = Path(__file__).parents[2] / "sample_vehicles" / "alder.yaml"


def _compose(context: Context) -> Document:
    box = Line(((5, 5), (60, 5), (60, 30), (5, 30)), Style(stroke="#000000"), closed=True)
    name = Text(10, 20, context.vehicle.name, 10)
    return Document((Sheet(74, 52, (box, name)),), title=context.vehicle.name)


@pytest.fixture
def tiny_documents(monkeypatch: pytest.MonkeyPatch) -> ModuleType:
    """The registry holds "note" (PDF) and "sketch" (PDF, SVG); both draw the vehicle's name in a box."""
    module = ModuleType("tiny_document")
    module.compose = _compose  # type: ignore[attr-defined]
    monkeypatch.setitem(sys.modules, "tiny_document", module)
    for name in tuple(DOCUMENTS):
        monkeypatch.delitem(DOCUMENTS, name)  # type: ignore[arg-type]
    monkeypatch.setitem(DOCUMENTS, "note", Entry("tiny_document", "a note"))  # type: ignore[arg-type]
    sketch = Entry("tiny_document", "a sketch", ("pdf", "svg"))
    monkeypatch.setitem(DOCUMENTS, "sketch", sketch)  # type: ignore[arg-type]
    return module


@pytest.fixture
def alder(tmp_path: Path) -> Path:
    """A copy of the sample, in a folder with a blank and an accent in its name."""
    folder = tmp_path / "Händler Nord"
    folder.mkdir()
    return Path(shutil.copy(SAMPLE, folder / "alder.yaml"))


@pytest.fixture
def forks() -> Callable[[], set[int]]:
    """Tells which processes this one has started since the test began, ended ones that nobody waited for too."""

    def children() -> set[int]:
        return {
            int(id) for id in Path(f"/proc/self/task/{os.getpid()}/children").read_text().split()
        }  # proc(5)

    before = children()
    return lambda: children() - before
