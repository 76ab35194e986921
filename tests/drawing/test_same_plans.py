"""Every kind of plan sheet is the same picture in PDF, seen by PDFium, and in SVG, seen by cairo."""

from __future__ import annotations

from pathlib import Path

import pytest

from guidegen.documents.context import Options
from guidegen.documents.plan import parts
from guidegen.drawing.pdf import write_pdf
from guidegen.drawing.primitives import Document
from guidegen.pipeline import prepare
from guidegen.plan.sheet import PlanOptions

ALIKE = 0.00006  # share of pixels; rasterisers differ at the edges of small type
DPI = 101.6  # 4 pixels to the millimetre
KINDS = {
    "upright": PlanOptions(210, 297, systems=("F",)),
    "A3": PlanOptions(420, 297, systems=("F",)),
    "names to fill in": PlanOptions(297, 420, systems=("D",), names=True, blank=True),
    "exercise": PlanOptions(297, 210, systems=("F",), blank=True),
}


@pytest.mark.parametrize("kind", KINDS)
def test_pdf_and_svg_of_a_plan_show_the_same(kind, rendered, unlike, from_svg):
    sample = Path(__file__).parents[2] / "sample_vehicles" / "hazel.yaml"
    context = prepare(sample, Options(plan=KINDS[kind]))
    for part in parts(context):
        if part.sheets and part.name != "key":
            sheet = part.sheets[0]
            printed = rendered(write_pdf(Document((sheet,))), dpi=DPI)
            drawn = from_svg(sheet, dpi=DPI)
            assert unlike(printed, drawn) < ALIKE, sheet.title
            assert unlike(drawn, printed) < ALIKE, sheet.title
