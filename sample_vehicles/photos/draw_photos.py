"""Draws the pictures of the sample vehicles: invented scenes, so that nothing real is shown.

python sample_vehicles/photos/draw_photos.py
"""

from __future__ import annotations

from pathlib import Path

from PIL import Image, ImageDraw, ImageFilter

FOLDER = Path(__file__).resolve().parent
FINER = 3  # drawn larger and scaled down, for smooth edges
SIZE = (1200, 900)
Colour = tuple[int, int, int]
Box = tuple[float, float, float, float]


class Scene:
    """A canvas of SIZE whose measures are those of the finished picture."""

    def __init__(self, above: Colour, below: Colour) -> None:
        self.image = Image.new("RGB", (SIZE[0] * FINER, SIZE[1] * FINER))
        self.pen = ImageDraw.Draw(self.image)
        self.fade((0, 0, *SIZE), above, below)

    def fade(self, box: Box, above: Colour, below: Colour) -> None:
        left, top, right, bottom = (round(v * FINER) for v in box)
        for y in range(top, bottom):
            t = (y - top) / max(1, bottom - top - 1)
            self.pen.line(
                (left, y, right, y), tuple(round(a + (b - a) * t) for a, b in zip(above, below, strict=True))
            )

    def box(
        self, box: Box, fill: Colour, radius: float = 0, edge: Colour | None = None, width: float = 3
    ) -> None:
        self.pen.rounded_rectangle(_finer(box), radius * FINER, fill, edge, round(width * FINER))

    def oval(self, box: Box, fill: Colour, edge: Colour | None = None, width: float = 3) -> None:
        self.pen.ellipse(_finer(box), fill, edge, round(width * FINER))

    def shape(self, *corners: tuple[float, float], fill: Colour) -> None:
        self.pen.polygon([(x * FINER, y * FINER) for x, y in corners], fill)

    def line(self, *points: tuple[float, float], fill: Colour, width: float) -> None:
        self.pen.line([(x * FINER, y * FINER) for x, y in points], fill, round(width * FINER), joint="curve")

    def shadow(self, box: Box, radius: float, dark: int = 90) -> None:
        mask = Image.new("L", (SIZE[0], SIZE[1]), 0)
        ImageDraw.Draw(mask).rounded_rectangle(box, radius, dark)
        mask = mask.filter(ImageFilter.GaussianBlur(14)).resize(self.image.size)
        self.image.paste((0, 0, 0), (0, 0), mask)

    def save(self, name: str) -> None:
        finished = self.image.resize(SIZE, Image.Resampling.LANCZOS)
        if name.endswith(".png"):
            finished.quantize(64, dither=Image.Dither.NONE).save(FOLDER / name, optimize=True)
        else:
            finished.save(FOLDER / name, quality=80, optimize=True, progressive=True)


def _finer(box: Box) -> tuple[float, ...]:
    return tuple(v * FINER for v in box)


def gas_locker() -> None:
    """An open gas locker: two cylinders, hoses, the regulator above and its green reset button."""
    scene = Scene((236, 237, 238), (214, 216, 219))
    scene.shadow((120, 80, 1090, 850), 40)
    scene.box((110, 60, 1090, 840), (226, 228, 230), 36, (140, 144, 148), 6)
    scene.fade((150, 100, 1050, 800), (70, 74, 78), (112, 116, 120))
    scene.fade((150, 730, 1050, 800), (150, 153, 156), (128, 131, 134))
    for left in (220, 660):
        scene.shadow((left - 6, 420, left + 316, 790), 40, 110)
        scene.fade((left + 6, 440, left + 304, 770), (224, 118, 40), (176, 84, 22))
        scene.box((left, 410, left + 310, 470), (222, 116, 38), 30)
        scene.box((left, 740, left + 310, 785), (150, 70, 18), 22)
        scene.box((left + 100, 330, left + 210, 420), (168, 80, 22), 16)
        scene.box((left + 132, 300, left + 178, 400), (190, 168, 90), 6)
        scene.box((left + 95, 268, left + 215, 304), (38, 42, 46), 16)
    for x, to in ((375, 560), (815, 630)):
        scene.line((x, 350), (x + (60 if x < 600 else -60), 330), (to, 235), fill=(24, 26, 28), width=17)
    scene.box((520, 140, 670, 250), (176, 180, 184), 18, (92, 96, 100), 4)
    scene.oval((548, 150, 642, 244), (200, 203, 206), (110, 114, 118), 4)
    scene.oval((572, 174, 618, 220), (36, 148, 76), (18, 92, 46), 4)
    scene.line((670, 195), (1050, 195), fill=(196, 150, 96), width=12)
    scene.oval((470, 748, 540, 784), (30, 32, 34), (70, 74, 78), 4)
    scene.line((770, 120), (640, 182), fill=(200, 32, 28), width=12)
    scene.shape((622, 190), (668, 150), (676, 186), fill=(200, 32, 28))
    scene.save("gas-locker.jpg")


def valves() -> None:
    """Four gas taps in a row in a kitchen cupboard: three open along the pipe, one closed across it."""
    scene = Scene((196, 172, 138), (176, 150, 116))
    scene.box((60, 70, 1140, 840), (120, 98, 72), 12)
    scene.box((90, 100, 1110, 810), (232, 226, 214), 6)
    scene.box((90, 700, 1110, 810), (206, 198, 184))
    scene.box((140, 236, 1060, 262), (196, 140, 84), 10)
    for n, x in enumerate((230, 470, 710, 950)):
        scene.box((x - 13, 250, x + 13, 700), (196, 140, 84), 8)
        scene.box((x - 46, 372, x + 46, 468), (186, 176, 122), 14, (120, 112, 70), 4)
        if n == 3:
            scene.box((x - 100, 398, x + 34, 442), (206, 52, 44), 20, (130, 24, 20), 4)
        else:
            scene.box((x - 22, 330, x + 22, 470), (206, 52, 44), 20, (130, 24, 20), 4)
        scene.oval((x - 13, 407, x + 13, 433), (228, 224, 200), (120, 112, 70), 3)
        scene.box((x - 60, 530, x + 60, 620), (252, 252, 250), 12, (90, 90, 88), 4)
        _pictogram(scene, n, x, 575)
    scene.save("valves.png")


def _pictogram(scene: Scene, n: int, x: float, y: float) -> None:
    ink = (40, 42, 44)
    if n == 0:
        for dx in (-24, 24):
            scene.oval((x + dx - 17, y - 17, x + dx + 17, y + 17), (252, 252, 250), ink, 5)
    elif n == 1:
        scene.box((x - 34, y - 28, x + 34, y + 28), (252, 252, 250), 6, ink, 5)
        scene.box((x - 22, y - 6, x + 22, y + 18), ink, 4)
    elif n == 2:
        for angle in ((-26, 0, 26, 0), (-13, -24, 13, 24), (13, -24, -13, 24)):
            scene.line((x + angle[0], y + angle[1]), (x + angle[2], y + angle[3]), fill=ink, width=6)
    else:
        scene.shape((x, y - 32), (x + 22, y + 8), (x - 22, y + 8), fill=ink)
        scene.oval((x - 23, y - 14, x + 23, y + 30), ink)


def vehicle() -> None:
    """A motorhome with an over-cab bed beside a lake, seen from its nearside, front to the left."""
    scene = Scene((150, 190, 222), (224, 236, 242))
    scene.shape(
        (0, 470),
        (210, 330),
        (420, 450),
        (640, 300),
        (900, 450),
        (1060, 360),
        (1200, 440),
        (1200, 560),
        (0, 560),
        fill=(122, 146, 150),
    )
    scene.fade((0, 520, 1200, 610), (110, 156, 178), (146, 184, 200))
    scene.fade((0, 600, 1200, 900), (116, 148, 84), (88, 118, 62))
    scene.shadow((150, 730, 1080, 800), 30, 150)
    body = (244, 243, 238)
    scene.shape(
        (150, 330), (230, 268), (1075, 262), (1085, 720), (330, 720), (330, 440), (180, 430), fill=body
    )
    scene.shape((118, 640), (150, 560), (230, 520), (330, 400), (470, 400), (470, 730), (118, 730), fill=body)
    scene.shape((252, 520), (340, 425), (350, 425), (350, 520), fill=(54, 66, 76))
    scene.shape((364, 425), (446, 425), (446, 520), (364, 520), fill=(54, 66, 76))
    scene.box((330, 600, 1085, 632), (31, 78, 95))
    scene.box((118, 600, 330, 632), (31, 78, 95))
    for left, right in ((700, 800), (880, 980), (250, 320)):
        top = 330 if left > 300 else 345
        scene.box(
            (left, top, right, top + 92 if left > 300 else top + 46), (52, 62, 70), 12, (188, 190, 190), 5
        )
    scene.box((560, 312, 660, 716), (234, 233, 228), 10, (150, 152, 152), 4)
    scene.box((585, 340, 636, 420), (52, 62, 70), 10)
    scene.box((640, 520, 652, 556), (110, 112, 114), 4)
    scene.box((560, 730, 664, 748), (70, 72, 74), 4)
    scene.box((500, 640, 550, 700), (226, 226, 222), 6, (150, 152, 152), 3)
    scene.box((690, 280, 1060, 306), (90, 96, 100), 10)
    for x in (235, 840):
        scene.oval((x - 70, 660, x + 70, 800), (34, 36, 38))
        scene.oval((x - 36, 694, x + 36, 766), (176, 180, 184), (120, 124, 128), 5)
    scene.shape((112, 632), (150, 620), (160, 648), (116, 660), fill=(238, 220, 150))
    scene.box((1070, 560, 1086, 640), (186, 40, 34), 4)
    scene.save("larch.jpg")


if __name__ == "__main__":
    gas_locker()
    valves()
    vehicle()
