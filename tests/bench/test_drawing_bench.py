"""How long the writers take: cold, and warm against a bare reportlab canvas that draws the same."""

from __future__ import annotations

import importlib.util
import os
import subprocess
import sys
import time
from collections.abc import Callable
from functools import partial
from io import BytesIO
from pathlib import Path

import pytest

from guidegen import build
from guidegen.documents.registry import DOCUMENTS, compose
from guidegen.drawing.pdf import write_pdf
from guidegen.drawing.primitives import Document
from guidegen.pipeline import prepare

pytestmark = pytest.mark.bench

SAMPLE = Path(__file__).parents[2] / "sample_vehicles" / "larch.yaml"
HEAVY_WORK_MODULES = (
    "reportlab",
    "pypdfium2",
    "fontTools",
    "cairosvg",
    "PIL",
    "segno",
    "svgelements",
    "numpy",
)


@pytest.fixture(scope="module")
def bare() -> Callable[[Document], bytes]:
    """The function of the module beside this one."""
    spec = importlib.util.spec_from_file_location("bare_canvas", Path(__file__).parent / "bare_canvas.py")
    assert spec and spec.loader
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    found: Callable[[Document], bytes] = module.bare
    return found


def best_of(times: int, work: Callable[[], object]) -> float:
    """Seconds of the processor."""
    spent = []
    for _ in range(times):
        start = time.process_time()
        work()
        spent.append(time.process_time() - start)
    return min(spent)


def operators(document: Document, monkeypatch: pytest.MonkeyPatch) -> list[tuple[object, list[str]]]:
    """Page size and content operators of every page, as our writer hands them to the canvas."""
    from reportlab.pdfgen.canvas import Canvas

    pages: list[tuple[object, list[str]]] = []
    show = Canvas.showPage

    def recorded(canvas: Canvas) -> None:
        pages.append((canvas._pagesize, [line for part in canvas._code for line in part.split("\n")]))
        show(canvas)

    with monkeypatch.context() as patch:
        patch.setattr(Canvas, "showPage", recorded)
        write_pdf(document)
    return pages


def replayed(pages: list[tuple[object, list[str]]]) -> bytes:
    """The operators as they were recorded, without fonts, links or pictures: less than any writer can do."""
    from reportlab.pdfgen.canvas import Canvas

    out = BytesIO()
    canvas = Canvas(out, pageCompression=1, invariant=1)
    for size, lines in pages:
        canvas.setPageSize(size)
        for line in lines:
            canvas.addLiteral(line)
        canvas.showPage()
    canvas.save()
    return out.getvalue()


def test_pdf_warm_takes_at_most_twice_a_bare_canvas(
    bare: Callable[[Document], bytes], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Every document of a sample, against the same drawing by reportlab's public calls."""
    context = prepare(SAMPLE)
    print(
        f"\n{'document':12} {'sheets':>6} {'ours ms':>8} {'bare ms':>8} {'ratio':>6} {'replay ms':>10} {'ratio':>6}"
    )
    ratios = []
    for name in DOCUMENTS:
        document = compose(name, context)
        pages = operators(document, monkeypatch)
        ours, theirs, least = (
            best_of(5, work)
            for work in (lambda: write_pdf(document), lambda: bare(document), lambda: replayed(pages))  # noqa: B023
        )
        ratios.append(ours / theirs)
        print(
            f"{name:12} {len(document.sheets):>6} {ours * 1000:>8.1f} {theirs * 1000:>8.1f} {ratios[-1]:>6.2f}"
            f" {least * 1000:>10.1f} {ours / least:>6.2f}"
        )
    assert max(ratios) <= 2


def test_everything_warm_takes_at_most_twice_bare_canvases(
    bare: Callable[[Document], bytes], tmp_path: Path
) -> None:
    """A whole pack, from reading the description to nine documents in all formats, against drawing them alone."""
    context = prepare(SAMPLE)
    theirs = sum(best_of(3, partial(bare, compose(name, context))) for name in DOCUMENTS)
    assert build(SAMPLE, tmp_path).outcome == "built"
    ours = best_of(3, lambda: build(SAMPLE, tmp_path, force=True))
    print(f"\neverything warm: {ours:.2f} s; bare canvases: {theirs:.2f} s; ratio {ours / theirs:.2f}")
    assert ours <= 2 * theirs


COLD = """
import time; start = time.process_time()
from guidegen.drawing.primitives import *
from guidegen.drawing.{module} import write_{module}
sheet = Sheet(297, 210, tuple(Text(10, 6 + 5 * n, "Pump switch " + str(n), 9) for n in range(40)))
write_{module}({argument})
print(time.process_time() - start)
"""


@pytest.mark.parametrize(
    ("module", "argument", "most_s"),
    [("pdf", "Document((sheet,))", 0.25), ("svg", "sheet", 0.2), ("png", "sheet", 0.35)],
)
def test_a_writer_in_a_fresh_process(module, argument, most_s, tmp_path):
    """Seconds of the processor, with bytecode there as it is where a package is installed."""
    variables = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
    variables["PYTHONPYCACHEPREFIX"] = str(tmp_path)
    program = COLD.format(module=module, argument=argument)

    def seconds() -> float:
        command = [sys.executable, "-c", program]
        done = subprocess.run(command, capture_output=True, text=True, check=True, env=variables)
        return float(done.stdout)

    cold = min(seconds() for _ in range(5))
    print(f"{module} cold: {cold * 1000:.0f} ms")
    assert cold <= most_s


def test_importing_the_writers_loads_nothing_heavy():
    program = (
        "import sys\n"
        "from guidegen.drawing import codes, fonts, logos, pdf, pictures, png, primitives, svg\n"
        f"print([m for m in {HEAVY_WORK_MODULES} if m in sys.modules])\n"
    )
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
