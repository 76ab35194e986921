"""How long the writers take: cold, and warm against a bare reportlab canvas that draws the same."""

from __future__ import annotations

import subprocess
import sys
import time
from collections.abc import Callable
from io import BytesIO

import pytest

from guidegen.drawing.fonts import primary_face
from guidegen.drawing.pdf import write_pdf
from guidegen.drawing.primitives import Circle, Document, Item, Line, Rect, Sheet, Style, Text

pytestmark = pytest.mark.bench

PT = 72 / 25.4
GREY = Style(stroke="#999999", width_mm=0.18)
BOX = Style(stroke="#222222", width_mm=0.25)
BADGE = Style(fill="#ffffff", stroke="#222222", width_mm=0.25)
HEAVY_WORK_MODULES = (
    "reportlab",
    "svgwrite",
    "fontTools",
    "cairosvg",
    "PIL",
    "segno",
    "svgelements",
    "numpy",
)


def steps() -> Document:
    """Eight pages of step rows: box, badge, number, two texts and a hairline each."""
    items: list[Item] = []
    for row in range(45):
        y = 10 + row * 6
        items += [
            Rect(10, y, 5, 5, BOX),
            Circle(20, y + 2, 2.6, BADGE),
            Text(20, y + 3, str(row + 1), 8.5, "bold", anchor="middle"),
            Text(26, y + 3, f"Do what row {row} says.", 10, "bold"),
            Text(110, y + 3, f"In the locker behind hatch {row}", 10),
            Line(((26, y + 5), (190, y + 5)), GREY),
        ]
    return Document((Sheet(210, 297, tuple(items)),) * 8)


def bare(document: Document) -> bytes:
    """The same through reportlab's public canvas, as a person would write it by hand."""
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont
    from reportlab.pdfgen.canvas import Canvas

    for weight in ("regular", "bold"):
        if weight not in pdfmetrics.getRegisteredFontNames():
            pdfmetrics.registerFont(TTFont(weight, str(primary_face(weight).path)))
    out = BytesIO()
    canvas = Canvas(out, pageCompression=1, invariant=1)
    for sheet in document.sheets:
        high = sheet.height_mm * PT
        canvas.setPageSize((sheet.width_mm * PT, high))
        for item in sheet.items:
            if isinstance(item, Text):
                canvas.setFillColor(item.colour)
                canvas.setFont(item.weight, item.size_pt)
                draw = canvas.drawCentredString if item.anchor == "middle" else canvas.drawString
                draw(item.x * PT, high - item.y * PT, item.text)
                continue
            style = item.style
            fill, stroke = style.fill is not None, style.stroke is not None
            if fill:
                canvas.setFillColor(style.fill)
            canvas.setStrokeColor(style.stroke)
            canvas.setLineWidth(style.width_mm * PT)
            if isinstance(item, Rect):
                canvas.rect(
                    item.x * PT,
                    high - (item.y + item.height) * PT,
                    item.width * PT,
                    item.height * PT,
                    stroke,
                    fill,
                )
            elif isinstance(item, Circle):
                canvas.circle(item.x * PT, high - item.y * PT, item.radius * PT, stroke, fill)
            else:
                (x1, y1), (x2, y2) = item.points
                canvas.line(x1 * PT, high - y1 * PT, x2 * PT, high - y2 * PT)
        canvas.showPage()
    canvas.save()
    return out.getvalue()


def best_of(times: int, work: Callable[[], object]) -> float:
    spent = []
    for _ in range(times):
        start = time.perf_counter()
        work()
        spent.append(time.perf_counter() - start)
    return min(spent)


def test_pdf_warm_takes_at_most_twice_a_bare_canvas():
    document = steps()
    ours, theirs = best_of(9, lambda: write_pdf(document)), best_of(9, lambda: bare(document))
    print(f"pdf, 8 pages: {ours * 1000:.1f} ms; bare canvas {theirs * 1000:.1f} ms; {ours / theirs:.2f}")
    assert ours <= 2 * theirs


COLD = """
import time; start = time.perf_counter()
from guidegen.drawing.primitives import *
from guidegen.drawing.{module} import write_{module}
sheet = Sheet(297, 210, tuple(Text(10, 6 + 5 * n, "Pump switch " + str(n), 9) for n in range(40)))
write_{module}({argument})
print(time.perf_counter() - start)
"""


@pytest.mark.parametrize(
    ("module", "argument", "most_s"),
    [("pdf", "Document((sheet,))", 0.25), ("svg", "sheet", 0.2), ("png", "sheet", 0.6)],
)
def test_a_writer_in_a_fresh_process(module, argument, most_s):
    program = COLD.format(module=module, argument=argument)

    def seconds() -> float:
        done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
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
