"""In which order documents are begun, and that what they need can be loaded before."""

from __future__ import annotations

import subprocess
import sys

from guidegen.documents.registry import DOCUMENTS
from guidegen.packs.making import by_turns


def test_the_longest_documents_are_begun_first() -> None:
    order = by_turns(tuple(DOCUMENTS))
    assert order[:2] == ("guide", "booklet")
    assert sorted(order) == sorted(DOCUMENTS)
    assert by_turns(("training", "card", "plan", "booklet")) == ("booklet", "plan", "training", "card")


def test_what_is_loaded_before_need_not_be_loaded_later() -> None:
    """The libraries that take longest, in a process of its own: `load`, then a pack."""
    code = """
import sys
from pathlib import Path
from guidegen.documents.registry import DOCUMENTS
from guidegen.packs.making import load, make
from guidegen.pipeline import prepare
context = prepare(Path("sample_vehicles/hazel.yaml"))
load(tuple(DOCUMENTS))
before = set(sys.modules)
for name in DOCUMENTS:
    make(name, context)
late = {name.partition(".")[0] for name in set(sys.modules) - before}
print(sorted(late & {"lxml", "pypdfium2", "segno", "svgwrite"}))
"""
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
