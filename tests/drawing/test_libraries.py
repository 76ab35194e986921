"""Libraries are loaded without what is not asked of them, and have it when it is."""

from __future__ import annotations

import subprocess
import sys

import pytest

DRAWN = """
from guidegen.drawing.pdf import write_pdf
from guidegen.drawing.primitives import Document, Sheet
from guidegen.drawing.svg import write_svg
sheet = Sheet(10, 10, ())
write_pdf(Document((sheet,)))
write_svg(sheet)
"""

CHECKED = """
from guidegen.drawing.libraries import svgwrite
svgwrite().container.Group(transform="rotate(30)")
try:
    svgwrite().container.Group(transform="rotate(30")
except TypeError:
    print("refused")
"""

PICTURED = """
from guidegen.drawing.pdf_pictures import picture_reader
from guidegen.drawing.png import write_png
print(*picture_reader(write_png(sheet, 25.4)).getSize())
"""


def loaded(module: str) -> str:
    return f"\nimport sys\nprint(hasattr(sys.modules.get({module!r}), '__file__'))\n"


def said(program: str) -> list[str]:
    """The words that a fresh process prints."""
    ran = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    return ran.stdout.split()


@pytest.mark.parametrize(
    "module", ["PIL.Image", "reportlab.lib.rl_safe_eval", "urllib.request", "svgwrite.data.svgparser"]
)
def test_drawing_loads_no_module_that_it_does_not_need(module):
    """To load these takes longer than a card to write."""
    assert said(DRAWN + loaded(module)) == ["False"]


def test_a_code_loads_nothing_that_writes_files():
    """The writers of the library load all of the standard one for the web, which takes three codes' time."""
    coded = (
        "from guidegen.drawing.codes import code_modules\nprint(len(code_modules('http://example.org')))\n"
    )
    assert said(coded + loaded("xml.sax.saxutils") + loaded("urllib.request")) == ["25", "False", "False"]


def test_svgwrite_checks_attributes_where_it_is_asked_to():
    """Transforms as in SVG 1.1, section 7.6."""
    assert said(DRAWN + CHECKED + loaded("svgwrite.data.svgparser")) == ["refused", "True"]


def test_reportlab_opens_pictures():
    assert said(DRAWN + PICTURED + loaded("PIL.Image")) == ["10", "10", "True"]


def test_a_module_that_is_loaded_is_not_stood_in_for():
    assert said("import PIL.Image as given" + DRAWN + "import PIL.Image\nprint(given is PIL.Image)") == [
        "True"
    ]


def test_a_module_that_was_stood_in_for_is_loaded_as_ever():
    assert said(DRAWN + "from urllib.request import Request\nprint(Request('http://example.org').host)") == [
        "example.org"
    ]
