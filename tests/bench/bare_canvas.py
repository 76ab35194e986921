"""A document drawn by hand: reportlab's public canvas and nothing else, as the measure of our own writer."""

from __future__ import annotations

from io import BytesIO
from typing import Any

from guidegen.drawing.fonts import primary_face
from guidegen.drawing.primitives import (
    Circle,
    Destination,
    Document,
    FormField,
    Group,
    Item,
    Line,
    Link,
    Path,
    Picture,
    Rect,
    Style,
    Text,
)

PT = 72 / 25.4


def bare(document: Document) -> bytes:
    """The document through the calls that a person would write; form fields are left out."""
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont
    from reportlab.pdfgen.canvas import Canvas

    for weight in ("regular", "bold"):
        if weight not in pdfmetrics.getRegisteredFontNames():
            pdfmetrics.registerFont(TTFont(weight, str(primary_face(weight).path)))
    out = BytesIO()
    canvas = Canvas(out, pageCompression=1, invariant=1)
    for sheet in document.sheets:
        canvas.setPageSize((sheet.width_mm * PT, sheet.height_mm * PT))
        canvas.translate(0, sheet.height_mm * PT)
        draw(canvas, sheet.items)
        canvas.showPage()
    canvas.save()
    return out.getvalue()


def draw(canvas: Any, items: tuple[Item, ...]) -> None:
    """Items whose origin is that of the canvas, y downwards."""
    for item in items:
        if isinstance(item, Text):
            text(canvas, item)
        elif isinstance(item, Line | Path | Circle | Rect):
            shape(canvas, item)
        elif isinstance(item, Group):
            group(canvas, item)
        elif isinstance(item, Picture):
            box = (item.x * PT, -(item.y + item.height) * PT, item.width * PT, item.height * PT)
            canvas.drawImage(picture(item.data), *box, mask="auto")
        elif isinstance(item, Link):
            link(canvas, item)
        elif isinstance(item, Destination):
            canvas.bookmarkHorizontal(item.name, 0, -item.y * PT)
        else:
            assert isinstance(item, FormField)


def picture(data: bytes) -> Any:
    from reportlab.lib.utils import ImageReader

    return ImageReader(BytesIO(data))


def link(canvas: Any, item: Link) -> None:
    box = (item.x * PT, -(item.y + item.height) * PT, (item.x + item.width) * PT, -item.y * PT)
    if item.target.startswith("#"):
        canvas.linkRect("", item.target[1:], box, relative=1, Border="[0 0 0]")
    else:
        canvas.linkURL(item.target, box, relative=1)


def group(canvas: Any, item: Group) -> None:
    canvas.saveState()
    if item.transform:
        a, b, c, d, e, f = item.transform
        canvas.transform(a, -b, -c, d, e * PT, -f * PT)
    if item.clip:
        x, y, width, height = item.clip
        path = canvas.beginPath()
        path.rect(x * PT, -(y + height) * PT, width * PT, height * PT)
        canvas.clipPath(path, stroke=0)
    draw(canvas, item.items)
    canvas.restoreState()


def text(canvas: Any, item: Text) -> None:
    canvas.setFillColor(item.colour)
    canvas.setFont(item.weight, item.size_pt)
    drawn = {"start": canvas.drawString, "middle": canvas.drawCentredString, "end": canvas.drawRightString}
    if item.turn_deg:
        canvas.saveState()
        canvas.translate(item.x * PT, -item.y * PT)
        canvas.rotate(-item.turn_deg)
        drawn[item.anchor](0, 0, item.text)
        canvas.restoreState()
    else:
        drawn[item.anchor](item.x * PT, -item.y * PT, item.text)


def paint(canvas: Any, style: Style) -> tuple[int, int]:
    """The canvas brought to the style; whether to stroke, whether to fill."""
    if style.fill is not None:
        canvas.setFillColor(style.fill)
        if style.fill_opacity < 1:
            canvas.setFillAlpha(style.fill_opacity)
    if style.stroke is not None:
        canvas.setStrokeColor(style.stroke)
        canvas.setLineWidth(style.width_mm * PT)
        canvas.setDash([d * PT for d in style.dash_mm])
        canvas.setLineCap(int(style.round_ends))
        canvas.setLineJoin(int(style.round_ends))
    return int(style.stroke is not None), int(style.fill is not None)


def shape(canvas: Any, item: Line | Path | Circle | Rect) -> None:
    seen_through = item.style.fill is not None and item.style.fill_opacity < 1
    if seen_through:
        canvas.saveState()
    stroke, fill = paint(canvas, item.style)
    if isinstance(item, Rect):
        box = (item.x * PT, -(item.y + item.height) * PT, item.width * PT, item.height * PT)
        if item.radius:
            canvas.roundRect(*box, item.radius * PT, stroke, fill)
        else:
            canvas.rect(*box, stroke, fill)
    elif isinstance(item, Circle):
        canvas.circle(item.x * PT, -item.y * PT, item.radius * PT, stroke, fill)
    else:
        path(canvas, item, stroke, fill)
    if seen_through:
        canvas.restoreState()


def path(canvas: Any, item: Line | Path, stroke: int, fill: int) -> None:
    drawn = canvas.beginPath()
    if isinstance(item, Line):
        first, *rest = item.points
        drawn.moveTo(first[0] * PT, -first[1] * PT)
        for x, y in rest:
            drawn.lineTo(x * PT, -y * PT)
        if item.closed:
            drawn.close()
    else:
        for name, *numbers in item.commands:
            at = [float(n) * (PT, -PT)[place % 2] for place, n in enumerate(numbers)]
            call = {"M": drawn.moveTo, "L": drawn.lineTo, "C": drawn.curveTo, "Z": drawn.close}[str(name)]
            call(*at)
    even_odd = isinstance(item, Path) and item.even_odd
    canvas.drawPath(drawn, stroke, fill, fillMode=0 if even_odd else 1)
