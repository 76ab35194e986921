"""Systems and kinds of service point: complete, plainly worded, told apart without colour."""

from __future__ import annotations

from itertools import combinations
from typing import get_args

import pytest

from guidegen.drawing.shapes import SHAPES
from guidegen.drawing.symbols import symbol_names, symbol_shapes
from guidegen.trade.load import load_trade
from guidegen.trade.records import Kind
from guidegen.trade.uses import load_uses
from guidegen.vehicle.model import Height

TRADE = load_trade()

# The specification: the systems by letter, and the kinds that stand in each (common practice, no source).
SYSTEMS = {
    "G": "gas (LPG)",
    "F": "fresh water",
    "H": "hot water and heating",
    "W": "waste water and toilet",
    "D": "12 V electrics",
    "M": "230 V electrics",
    "V": "air and ventilation",
    "A": "appliances and controls",
    "B": "body and chassis",
    "S": "safety",
}
KINDS = {
    "G": """gas-locker gas-cylinder gas-regulator crash-reset changeover-valve isolation-valve gas-drop-vent
        barbecue-outlet underslung-tank-filler gas-alarm""",
    "F": """fresh-filler fresh-drain fresh-tank water-inlet-pump-socket pump pump-switch water-filter
        outside-shower tap-valve low-point-drain level-gauge""",
    "H": """water-heater water-heater-drain water-heater-gas-switch water-heater-mains-switch
        water-heater-cowl space-heater heater-control heater-cowl heater-flue-roof warm-air-outlet
        blown-air-control header-tank diesel-heater-exhaust""",
    "W": """waste-drain waste-tank cassette-hatch toilet-flush toilet-blade-lever flush-tank-filler
        toilet-vent-fan""",
    "D": """leisure-battery vehicle-battery battery-isolator control-panel fuse-box-12v solar-regulator
        solar-panel socket-12v usb-socket lights-switch awning-light step-switch towing-socket""",
    "M": """hookup-inlet consumer-unit charger charger-switch socket-230v polarity-light inverter
        outlet-230v-outside""",
    "V": "roof-light extractor-fan fridge-vent-upper fridge-vent-lower opening-window",
    "A": """hob grill oven hotplate-230v microwave fridge fridge-control television aerial
        aerial-outside-socket air-conditioner""",
    "B": """habitation-door entry-step awning awning-winder locker-door bonnet-release fuel-filler
        diesel-fluid-filler spare-wheel jacking-point towing-eye tow-bar tow-hitch steady
        wheel-chock-store drop-down-bed table-store bed-slats partition reversing-camera bike-rack""",
    "S": """fire-extinguisher fire-blanket first-aid-kit smoke-alarm co-alarm escape-window
        warning-triangle hi-vis-store torch""",
}
# ISO 3864-1 safety colours as this project writes them (hex values from memory).
FIRE_RED, WARNING_YELLOW, SAFE_GREEN = "#b5231f", "#f9a800", "#237f52"


def luminance(colour: str) -> float:
    """Relative luminance of WCAG 2.x (sRGB, definition of "relative luminance")."""
    channels = (int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5))
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    """Contrast ratio of WCAG 2.x: (L1 + 0.05) / (L2 + 0.05)."""
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_every_system_is_there_in_its_order() -> None:
    assert {system.id: system.name for system in TRADE.systems.values()} == SYSTEMS
    assert list(TRADE.systems) == list(SYSTEMS)


@pytest.mark.parametrize("letter", SYSTEMS)
def test_every_kind_is_there_and_no_other(letter: str) -> None:
    assert [k.id for k in TRADE.kinds.values() if k.system == letter] == KINDS[letter].split()


def test_systems_are_told_apart_by_letter_and_shape() -> None:
    systems = TRADE.systems.values()
    assert all(system.letter == system.id for system in systems)
    shapes = [system.shape for system in systems]
    assert len(set(shapes)) == len(shapes) and set(shapes) <= set(SHAPES)


def test_systems_of_one_colour_differ_in_filling() -> None:
    twins = [(a, b) for a, b in combinations(TRADE.systems.values(), 2) if a.colour == b.colour]
    assert [(a.id, b.id) for a, b in twins] == [("D", "M")]
    assert all(a.outlined != b.outlined for a, b in twins)


@pytest.mark.parametrize("letter", SYSTEMS)
def test_system_colours_stand_out_on_white(letter: str) -> None:
    # WCAG 2.x success criterion 1.4.11: graphical objects at least 3:1.
    assert contrast(TRADE.systems[letter].colour, "#ffffff") >= 3.0


@pytest.mark.parametrize("letter", SYSTEMS)
def test_systems_name_their_standard_and_own_up_to_memory(letter: str) -> None:
    source = TRADE.systems[letter].source
    assert "from memory" in source
    assert "BS 4800" in source or "ISO 3864" in source


def test_only_safety_points_have_colours_of_their_own() -> None:
    own = {kind.id: kind.colour for kind in TRADE.kinds.values() if kind.colour}
    assert {TRADE.kinds[id].system for id in own} == {"S"}
    assert set(own.values()) == {FIRE_RED, WARNING_YELLOW}
    assert TRADE.systems["S"].colour == SAFE_GREEN
    # ISO 3864-1: the contrast colour of yellow is black, that of red and green is white.
    assert contrast(WARNING_YELLOW, "#000000") >= 7 and contrast(FIRE_RED, "#ffffff") >= 4.5
    assert {id for id, colour in own.items() if colour == WARNING_YELLOW} == {"co-alarm"}


kinds = pytest.mark.parametrize("kind", TRADE.kinds.values(), ids=TRADE.kinds)


@kinds
def test_a_kind_is_named_as_an_owner_would_read_it(kind: Kind) -> None:
    assert kind.name == kind.name.strip() and len(kind.name) <= 30
    abbreviations = {"USB", "AUS", "V"}
    named = [word.strip("()") for word in kind.name.split()]
    assert all(word.islower() or word in abbreviations or word.isdigit() for word in named)


@kinds
def test_a_kind_says_in_one_short_sentence_what_it_is_for(kind: Kind) -> None:
    for about in (kind.about, *(one.text for one in kind.told)):
        assert 2 <= len(about.split()) <= 18
        assert about[0].isupper() and about.endswith(".") and ". " not in about


@pytest.mark.parametrize(
    ("kind", "facts", "said", "unsaid"),
    [
        ("water-heater", "water-heater.storage", "while it is empty", "rooms"),
        ("water-heater", "water-heater.combined heating", "the rooms", "switch it on"),
        ("fridge-control", "fridge.12v fridge.manual", "how cold it is", "energy"),
        ("fridge-control", "fridge.gas fridge.mains fridge.manual", "chooses its energy,", "by itself"),
        (
            "fridge-control",
            "fridge.gas fridge.12v fridge.automatic",
            "it chooses its energy by itself",
            "off, ch",
        ),
        ("aerial", "aerial.directional", "lower it", "can be"),
        ("aerial", "aerial.dome", "stays as it is", "lower"),
        ("hob", "", "open a window first", "roof light"),
        ("hob", "roof-lights", "window or roof light", "window first"),
    ],
)
def test_what_a_kind_is_for_is_said_of_what_is_fitted(kind: str, facts: str, said: str, unsaid: str) -> None:
    about = TRADE.of(frozenset(facts.split())).kinds[kind].about
    assert said in about and unsaid not in about


@pytest.mark.parametrize(
    ("kind", "warned"),
    [
        ("gas-cylinder", "every cylinder"),  # of two, one is not the whole supply
        ("crash-reset", "smell no gas"),
        ("gas-alarm", "no switch"),
        ("barbecue-outlet", "never in an awning"),
        ("hob", "never use it to heat"),
        ("oven", "never use it to heat"),
        ("grill", "never heat the vehicle"),
        ("hookup-inlet", "main switch off"),  # BS 7671, section 721: user instruction
        ("co-alarm", "everybody out"),
        ("smoke-alarm", "everybody out"),
        ("fire-blanket", "never use water"),
    ],
)
def test_what_is_said_of_a_thing_that_can_hurt_says_how_not_to_be_hurt(kind: str, warned: str) -> None:
    """Said at the handover, at the thing itself: the cautions of trade.md, section 10."""
    assert warned in TRADE.kinds[kind].about


@kinds
def test_usual_heights_are_known_and_run_upwards(kind: Kind) -> None:
    heights = get_args(Height)
    places = [heights.index(height) for height in kind.usual]
    assert places == sorted(set(places))


@kinds
def test_roof_and_underfloor_alone_are_outside(kind: Kind) -> None:
    if kind.usual in (("roof",), ("under-floor",)):
        assert kind.outside is True
    if kind.outside is False:
        assert "roof" not in kind.usual


@kinds
def test_a_kind_has_a_symbol(kind: Kind) -> None:
    assert kind.symbol in symbol_names()
    assert symbol_shapes(kind.symbol)


def test_a_satellite_aerial_is_a_dish_and_any_other_a_rod() -> None:
    aerial = TRADE.kinds["aerial"]
    dish = aerial.symbol_on(frozenset({"aerial", "aerial.satellite"}))
    assert (dish, aerial.symbol_on(frozenset({"aerial", "aerial.directional"}))) == (
        "satellite-aerial",
        "aerial",
    )
    assert symbol_shapes(dish)


def test_names_and_symbols_are_not_used_twice() -> None:
    found = TRADE.kinds.values()
    assert len({kind.name for kind in found}) == len(found)
    assert len({symbol_shapes(kind.symbol) for kind in found}) == len(found)


def test_what_serves_something_says_how() -> None:
    assert {kind.says for kind in TRADE.kinds.values()} == {
        "",
        "isolates",
        "feeds",
        "controls",
        "drains",
        "vents",
    }
    assert all(k.says == "controls" for k in TRADE.kinds.values() if k.id.endswith(("-switch", "-control")))
    assert all(k.says == "drains" for k in TRADE.kinds.values() if k.id.endswith("-drain"))


def test_outside_and_inside_as_the_trade_has_them() -> None:
    # Common practice, no source.
    outside = (
        "fresh-filler hookup-inlet cassette-hatch water-heater-cowl fridge-vent-upper fuel-filler steady"
    )
    inside = "pump-switch consumer-unit control-panel hob fridge smoke-alarm co-alarm toilet-flush"
    either = "gas-locker fresh-drain leisure-battery roof-light gas-drop-vent"
    for ids, expected in ((outside, True), (inside, False), (either, None)):
        assert {TRADE.kinds[id].outside for id in ids.split()} == {expected}


# Words true only of some vehicles that have the kind; a sentence names them with what it then says of all.
ONLY_OF_SOME = {
    "gas-regulator": ("cylinder",),  # a fixed tank has one too
    "pump": ("tank", "water heater"),  # a container, no heater
    "waste-tank": ("shower",),
    "socket-230v": ("hook-up", "inverter"),
    "control-panel": ("level",),  # a gauge of its own, or a container
    "aerial": ("lower it",),  # a dome stays as it is
    "awning-winder": ("crank", "switch"),
    "water-heater-cowl": ("water heater",),  # the flue of a combined heater
    "bonnet-release": ("battery",),  # under the driver's seat of some vans
    "fire-blanket": ("gas",),  # an electric hob
}


@pytest.mark.parametrize("kind", ONLY_OF_SOME)
def test_what_a_kind_is_for_holds_of_every_vehicle_that_has_it(kind: str) -> None:
    about = TRADE.kinds[kind].about.lower()
    assert about and not [word for word in ONLY_OF_SOME[kind] if word in about]


def test_one_thing_has_one_name() -> None:
    """What the steps call a flue outlet is called so on the plan; a valve is looked for as a valve."""
    for kind in ("water-heater-cowl", "heater-cowl"):
        assert TRADE.kinds[kind].name.endswith("flue outlet")
    assert "valve" in TRADE.kinds["underslung-tank-filler"].name
    said = [use.text for system in load_uses().values() for use in system.use]
    said += [hint.text for symptom in TRADE.symptoms for hint in symptom.hints]
    assert said and not [text for text in said if "cowl" in text.lower()]
