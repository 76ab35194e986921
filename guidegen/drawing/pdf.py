"""PDF from a document: pages, fonts, pictures, outline, links and metadata. Same input, same bytes."""

from __future__ import annotations

from collections.abc import Callable
from io import BytesIO
from typing import TYPE_CHECKING, Any, TypeAlias

from guidegen.drawing.pdf_repeats import LEAST_SHAPES, repeated
from guidegen.drawing.primitives import (
    PT_PER_MM,
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
    Sheet,
    Text,
)
from guidegen.drawing.typography import as_printed
from guidegen.errors import GuidegenError

if TYPE_CHECKING:
    from guidegen.drawing.pdf_content import Content

Matrix: TypeAlias = tuple[float, float, float, float, float, float]

IDENTITY: Matrix = (1.0, 0.0, 0.0, 1.0, 0.0, 0.0)
_SHAPES = (Line, Path, Circle, Rect)
_FORM_BOX = (-4000.0, -4000.0, 4000.0, 4000.0)  # points: nothing on paper reaches farther


def write_pdf(document: Document) -> bytes:
    """The document as a PDF 1.7 file; page sizes are those of the sheets.

    The dates inside are SOURCE_DATE_EPOCH, or a fixed day. Raises MissingGlyph for a character without
    a glyph, GuidegenError for a link that is neither "#name" nor http(s), ValueError for a link to a
    name that nothing carries.
    """
    return _Writer(document).written()


def _times(outer: Matrix, inner: Matrix) -> Matrix:
    """The matrix that applies the inner one first."""
    a, b, c, d, e, f = outer
    a2, b2, c2, d2, e2, f2 = inner
    return (
        a * a2 + c * b2,
        b * a2 + d * b2,
        a * c2 + c * d2,
        b * c2 + d * d2,
        a * e2 + c * f2 + e,
        b * e2 + d * f2 + f,
    )


class _Writer:
    def __init__(self, document: Document) -> None:
        from guidegen.drawing.pdf_fonts import FontBook, first_font
        from guidegen.drawing.pdf_links import InnerLinks
        from guidegen.drawing.pdf_streams import Deflate
        from guidegen.drawing.reportlab_parts import Canvas, rl_config

        rl_config.useA85 = 0
        self._document = document
        self._file = BytesIO()
        canvas = self._canvas = Canvas(
            self._file,
            pageCompression=0,  # which would be reportlab's own
            invariant=1,
            pdfVersion=(1, 7),
            initialFontName=first_font(),
            lang=document.language,
        )
        canvas._doc.defaultStreamFilters = (Deflate(),)
        self._fonts = FontBook(canvas._doc)
        self._repeated = repeated(document)
        self._known: dict[tuple[object, ...], str] = {}
        self._forms: dict[int, str] = {}
        self._links = InnerLinks(canvas)
        self._names: set[str] = set()
        self._level = -1
        self._form: Any = None
        self._describe()

    def _describe(self) -> None:
        canvas, document = self._canvas, self._document
        canvas.setTitle(as_printed(document.title))
        canvas.setAuthor(document.author)
        canvas.setSubject(document.subject)
        canvas.setKeywords(", ".join(document.keywords))
        canvas.setCreator("guidegen")
        canvas.setViewerPreference("DisplayDocTitle", "true")

    def written(self) -> bytes:
        for sheet in self._document.sheets:
            self._page(sheet)
        self._links.check(self._names)
        self._canvas.save()
        return self._file.getvalue()

    def _page(self, sheet: Sheet) -> None:
        from guidegen.drawing.pdf_content import Content

        self._height_mm = sheet.height_mm
        self._canvas.setPageSize((sheet.width_mm * PT_PER_MM, sheet.height_mm * PT_PER_MM))
        self._write_to(Content(self._fonts, sheet.height_mm * PT_PER_MM))
        self._draw(sheet.items, IDENTITY)
        self._flush()
        self._canvas.showPage()

    def _write_to(self, content: Content) -> None:
        self._content = content
        # None of this writer itself: it would hold what holds it, and the document would stay in memory.
        self._painters: dict[type, Callable[[Any], None]] = {
            Line: content.line,
            Path: content.path,
            Circle: content.circle,
            Rect: content.rect,
        }

    def _flush(self) -> None:
        """Hand the operators over, so that the canvas can add its own after them."""
        self._canvas.addLiteral("\n".join(self._content.ops))
        self._content.ops.clear()

    def _draw(self, items: tuple[Item, ...], matrix: Matrix) -> None:
        text, painters = self._content.text, self._painters
        for item in items:
            if type(item) is Text:
                text(item)
            elif not isinstance(item, _SHAPES):
                self._arrange(item, matrix)
            elif item.style.fill_opacity < 1:
                self._through(item, painters[type(item)])
            else:
                painters[type(item)](item)

    def _arrange(self, item: Item, matrix: Matrix) -> None:
        """What is more than paint."""
        if isinstance(item, Group):
            self._group(item, matrix)
        elif isinstance(item, Link):
            self._link(item, matrix)
        elif isinstance(item, Picture):
            self._picture(item)
        elif isinstance(item, Destination):
            self._destination(item, matrix)
        elif isinstance(item, FormField):
            self._field(item, matrix)

    def _through(self, shape: Line | Path | Circle | Rect, paint: Callable[[Any], None]) -> None:
        """A shape that lets what is under its fill show."""
        self._flush()
        self._canvas.saveState()
        self._canvas.setFillAlpha(shape.style.fill_opacity)
        self._content.save()
        paint(shape)
        self._content.restore()
        self._flush()
        self._canvas.restoreState()

    def _group(self, group: Group, matrix: Matrix) -> None:
        if shapes := self._repeated.get(id(group.items)):
            self._again(group, shapes)
            return
        content, own = self._content, group.transform
        inner = _times(matrix, own) if own else matrix
        moved = own is None or own[:4] == IDENTITY[:4]
        saved = not moved or group.clip is not None
        left, top = content.left, content.top
        if saved:
            content.save()
        if own is not None and moved:
            content.left += own[4] * PT_PER_MM
            content.top -= own[5] * PT_PER_MM
        elif own is not None:
            content.transform(own)
        if group.clip is not None:
            content.clip(group.clip)
        self._draw(group.items, inner)
        if saved:
            content.restore()
        else:
            content.left, content.top = left, top

    def _again(self, group: Group, shapes: int) -> None:
        """A drawing that comes again, about the origin of its group; a large one is a form XObject."""
        content = self._content
        form = self._form_of(group.items) if shapes >= LEAST_SHAPES else ""
        content.save()
        content.place(group.transform or IDENTITY)
        if group.clip is not None:
            content.clip(group.clip)
        if form:
            self._flush()
            self._canvas.doForm(form)
        else:
            content.ops.append(self._operators(group.items))
        content.restore()

    def _form_of(self, items: tuple[Item, ...]) -> str:
        """The name of the form XObject."""
        from guidegen.drawing.pdf_content import Content

        canvas, content = self._canvas, self._content
        name = self._forms.get(id(items))
        if name is None:
            self._flush()
            name = self._forms[id(items)] = f"drawing{len(self._forms) + 1}"
            canvas.beginForm(name, *_FORM_BOX)
            self._write_to(Content(self._fonts, 0.0))
            self._draw(items, IDENTITY)
            self._flush()
            canvas.endForm()
            self._write_to(content)
        return name

    def _operators(self, items: tuple[Item, ...]) -> str:
        """What draws the shapes at the origin, worked out once for each paint that they are met in."""
        content = self._content
        key = (id(items), content.paint)
        known = self._known.get(key)
        if known is None:
            start = len(content.ops)
            self._draw(items, IDENTITY)
            known = self._known[key] = "\n".join(content.ops[start:])
            del content.ops[start:]
        return known

    def _picture(self, picture: Picture) -> None:
        from guidegen.drawing.pdf_pictures import picture_reader

        self._flush()
        self._canvas.drawImage(
            picture_reader(picture.data),
            self._content.left + picture.x * PT_PER_MM,
            self._content.top - (picture.y + picture.height) * PT_PER_MM,
            picture.width * PT_PER_MM,
            picture.height * PT_PER_MM,
            mask="auto",
        )

    def _page_box(self, matrix: Matrix, item: Link | FormField) -> tuple[float, float, float, float]:
        """The upright box round the item on the page, in points."""
        a, b, c, d, e, f = matrix
        if b == c == 0 and a > 0 and d > 0:  # as nearly all stand
            left, right = a * item.x + e, a * (item.x + item.width) + e
            top, foot = self._height_mm - (d * item.y + f), self._height_mm - (d * (item.y + item.height) + f)
            return (left * PT_PER_MM, foot * PT_PER_MM, right * PT_PER_MM, top * PT_PER_MM)
        corners = [
            (a * x + c * y + e, b * x + d * y + f)
            for x in (item.x, item.x + item.width)
            for y in (item.y, item.y + item.height)
        ]
        xs = [x * PT_PER_MM for x, _ in corners]
        ys = [(self._height_mm - y) * PT_PER_MM for _, y in corners]
        return (min(xs), min(ys), max(xs), max(ys))

    def _link(self, link: Link, matrix: Matrix) -> None:
        box = self._page_box(matrix, link)
        if link.target.startswith("#"):
            self._links.add(link.target[1:], box)
        elif link.target.startswith(("http://", "https://")):
            self._canvas.linkURL(link.target, box, relative=0)
        else:
            raise GuidegenError(f"A link must start with http:// or https://, and {link.target!r} does not")

    def _destination(self, destination: Destination, matrix: Matrix) -> None:
        self._names.add(destination.name)
        y = matrix[3] * destination.y + matrix[5]
        top = (self._height_mm - y) * PT_PER_MM
        self._canvas.bookmarkPage(destination.name, fit="XYZ", left=0, top=top, zoom=0)
        if destination.level >= 0:
            self._level = min(destination.level, self._level + 1)  # no level may be left out
            self._canvas.addOutlineEntry(as_printed(destination.title), destination.name, self._level)

    def _field(self, field: FormField, matrix: Matrix) -> None:
        from guidegen.drawing.pdf_form import Form

        if self._form is None:
            self._form = Form(self._canvas, self._fonts)
        self._form.add(field, self._page_box(matrix, field))
