"""The trade as typed records: systems, kinds of service point, equipment, steps, cautions.

Facts are plain words about what a vehicle has, such as "water-heater" or "heating.gas"
(made by guidegen.vehicle.facts). A `when` is a tuple of terms that must all hold; a term is a
fact, "!fact" for its absence, or "a|b" where one of several is enough.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from typing import Any, Generic, Literal, TypeAlias, TypeVar

from msgspec import Struct
from msgspec.structs import replace

When: TypeAlias = tuple[str, ...]
SequenceName: TypeAlias = Literal["arrive", "leave", "lay-up", "recommission"]
Signal: TypeAlias = Literal["danger", "warning", "caution", "notice"]
_COUNTED = re.compile(r"\{([^|{}]*)\|([^|{}]*)\}")  # words for one thing, and for several
SEQUENCES: tuple[SequenceName, ...] = ("arrive", "leave", "lay-up", "recommission")


class Named(Struct, frozen=True):
    """A name for vehicles of which the facts hold."""

    name: str
    when: When


class System(Struct, frozen=True):
    """A group of service points with one letter, colour and marker shape."""

    id: str
    letter: str
    name: str
    colour: str
    shape: str  # of the badge's surround and the marker: one of guidegen.drawing.shapes.SHAPES
    source: str
    outlined: bool = False  # the shape is drawn as an outline, not filled
    named: tuple[Named, ...] = ()

    def of(self, facts: frozenset[str]) -> System:
        """The system with the name that is true of a vehicle with these facts."""
        names = (one.name for one in self.named if holds(one.when, facts))
        return replace(self, name=next(names, self.name))


class Form(Struct, frozen=True):
    """What one sees of a service point from outside: a shape of the usual size."""

    shape: str  # one of guidegen.plan.fittings.SHAPES
    width_mm: float
    height_mm: float


class Told(Struct, frozen=True):
    """A text for vehicles of which the facts hold."""

    text: str
    when: When


class Kind(Struct, frozen=True):
    """A kind of service point."""

    id: str
    name: str  # as printed, lower case: "fresh water drain"
    system: str
    symbol: str  # file name in symbols/, without .svg
    usual: tuple[str, ...]  # usual heights, from HEIGHTS; empty when anywhere
    outside: bool | None  # None: either
    about: str = ""  # one sentence for owners: what it is for
    told: tuple[Told, ...] = ()  # sentences that take the place of `about`, the first that is true
    says: str = ""  # word for what `serves` means: "isolates", "feeds", "controls", "drains", "vents"
    colour: str = ""  # instead of the system's: ISO 3864 fire red, warning yellow (always edged in black)
    form: Form | None = None  # None: nothing is seen but the point itself
    symbol_if: tuple[tuple[str, str], ...] = ()  # facts, each with the symbol that is then drawn instead

    def symbol_on(self, facts: frozenset[str]) -> str:
        """The symbol for a vehicle with these facts."""
        return next((symbol for fact, symbol in self.symbol_if if fact in facts), self.symbol)

    def of(self, facts: frozenset[str]) -> Kind:
        """The kind with the sentence that is true of a vehicle with these facts."""
        if not self.told:
            return self
        texts = (one.text for one in self.told if holds(one.when, facts))
        return replace(self, about=next(texts, self.about), told=())


class Requirement(Struct, frozen=True):
    """Kinds that must exist when the facts hold; `each_of` repeats it for every fitted appliance named."""

    when: When
    kinds: tuple[str, ...]  # one of these is enough
    each_of: str = ""  # "gas-appliance": one that serves each gas appliance
    reason: str = ""


class Step(Struct, frozen=True):
    """One instruction of a sequence."""

    id: str
    sequence: SequenceName
    when: When
    at: tuple[
        str, ...
    ]  # kinds where it is done, or a fixed stop: "driver-seat", "pitch-post", "inside", "outside"
    text: str  # "{the|every} drain": for one point, and for several
    needs: tuple[
        str, ...
    ]  # conditions: "primed", "!mains_on", "water_heater=gas"; "a?fact" only when the fact holds
    gives: tuple[str, ...]
    check: str = ""  # what shows that it worked
    cautions: tuple[str, ...] = ()
    minutes: float = 0.0
    after: tuple[str, ...] = ()  # step ids that come before by custom, when present
    right_after: str = ""  # id of the step that it is one act with: nothing is done in between
    optional: bool = False
    first: bool = False  # comes before all that are not
    last: bool = False
    why: str = ""  # what would happen otherwise


class Caution(Struct, frozen=True):
    """What to beware of.

    told: the texts that take the place of `text`, the first that is true. before: sentences that stand
    before it, all that are true.
    """

    id: str
    signal: Signal
    text: str
    sign: str  # symbol of the ISO 7010 sign: "w001"…
    when: When = ()
    source: str = ""
    told: tuple[Told, ...] = ()
    before: tuple[Told, ...] = ()

    def of(self, facts: frozenset[str]) -> Caution:
        """The caution with the text that is true of a vehicle with these facts."""
        texts = (one.text for one in self.told if holds(one.when, facts))
        first = (one.text for one in self.before if holds(one.when, facts))
        return replace(self, text=" ".join((*first, next(texts, self.text))), told=(), before=())


class SymptomHint(Struct, frozen=True):
    """A check behind a complaint, with the kinds whose number is printed."""

    text: str
    when: When = ()
    kinds: tuple[str, ...] = ()  # "a|b": the first that is placed; "a?fact": only then
    short: str = ""  # what to look at, in two or three words; empty: not in the short help


class Symptom(Struct, frozen=True):
    """A complaint of quick help, and the checks behind it, nearest and likeliest first."""

    id: str
    title: str
    when: When
    goal: str  # the condition that is missing, for the chain of conditions behind it
    hints: tuple[SymptomHint, ...]
    short: str = ""  # the title in three or four words
    rank: int = 0  # in the short help the lowest go first; 0: not there


class Condition(Struct, frozen=True):
    """A state of the vehicle that steps need and give, in words that finish "so that …"."""

    id: str
    holds: str  # "the water pump is on"; with {value} where it takes one: "the heating runs on {value}"
    fails: str
    help: str = ""  # what quick help says when it is missing: "Switch the water pump on."
    kinds: tuple[str, ...] = ()  # kinds whose numbers quick help prints beside that; as in SymptomHint
    short: str = ""  # what to look at, in two or three words
    after: tuple[str, ...] = ()  # conditions that quick help names before it, when it names both


class Journey(Struct, frozen=True):
    """Where a sequence starts and what it must reach; conditions as in the needs of a step."""

    start: tuple[str, ...]
    goal: tuple[str, ...]


class WarningSticker(Struct, frozen=True):
    """A sticker or tag that carries no number; one for each point of the kinds in `at`."""

    id: str
    title: str
    lines: tuple[str, ...] = ()  # {kind} stands for the number of that point
    caution: str = ""  # of the caution with this id the text is the last line
    when: When = ()
    at: tuple[str, ...] = ()
    signal: Signal = "notice"
    sign: str = ""
    numbered: bool = False
    tag: bool = False  # to cut out and hang up
    write: tuple[str, ...] = ()  # what is filled in by hand
    source: str = ""


class Reading(Struct, frozen=True):
    """What is read off or tried at a check; of several with one name the first whose `when` holds counts."""

    name: str
    group: str
    when: When = ()
    unit: str = ""
    usual: tuple[float, ...] = ()  # least and greatest, in the unit; empty: nothing is usual
    possible: tuple[float, ...] = ()
    answer: bool = False  # "yes" or "no" is enough
    also: str = ""  # the word before a second figure: "5 °C after 6 h"
    also_unit: str = ""
    until: bool = False  # a date up to which something may be used: "2031", "2031-05", "2031-05-17"
    within: bool = False  # a reading of one's own whose name holds this one is judged alike
    advice: str = ""  # what to do about a figure that is not usual
    source: str = ""  # of the usual range


class HandedOver(Struct, frozen=True):
    """A thing that goes out with the vehicle; its field on the sheet is called after `name` everywhere."""

    name: str
    when: When = ()
    count: bool = False  # how many is written beside it
    named: tuple[Named, ...] = ()  # as it is printed for vehicles of which the facts hold, the first that do

    def title(self, facts: frozenset[str]) -> str:
        """What is printed for a vehicle with these facts."""
        return next((one.name for one in self.named if holds(one.when, facts)), self.name)


_Content = TypeVar("_Content")


class _Part(Generic[_Content]):
    """A part of the trade, read when it is first asked for: a command pays for what it uses."""

    def __set_name__(self, owner: type[Trade], name: str) -> None:
        self.name = name

    def __get__(self, trade: Trade, owner: type[Trade]) -> _Content:
        content: _Content = trade.read(self.name)
        trade.__dict__[self.name] = content  # which is looked up before this descriptor from now on
        return content


_BY_FACTS = ("systems", "kinds", "cautions")  # parts that read otherwise from vehicle to vehicle


class Trade(Struct, frozen=True, dict=True):
    """Everything there is; `read` gives the content of a part by its name."""

    read: Callable[[str], Any]

    systems = _Part[Mapping[str, System]]()
    kinds = _Part[Mapping[str, Kind]]()
    requirements = _Part[tuple[Requirement, ...]]()
    steps = _Part[tuple[Step, ...]]()
    cautions = _Part[Mapping[str, Caution]]()
    symptoms = _Part[tuple[Symptom, ...]]()
    conditions = _Part[Mapping[str, Condition]]()
    journeys = _Part[Mapping[str, Journey]]()
    stickers = _Part[Mapping[str, WarningSticker]]()
    readings = _Part[tuple[Reading, ...]]()
    handed_over = _Part[tuple[HandedOver, ...]]()

    def read_all(self) -> None:
        """Reads every part now."""
        for name, part in vars(Trade).items():
            if isinstance(part, _Part):
                getattr(self, name)

    def of(self, facts: frozenset[str]) -> Trade:
        """The same trade, its words as they are true of a vehicle with these facts."""

        def read(part: str) -> Any:
            content = getattr(self, part)
            return {id: one.of(facts) for id, one in content.items()} if part in _BY_FACTS else content

        return Trade(read)


def counted(text: str, count: int) -> str:
    """The text with the words for one thing or for several, where it holds both: "{the|every}"."""
    return _COUNTED.sub(r"\1" if count == 1 else r"\2", text)


def holds(when: When, facts: frozenset[str]) -> bool:
    """Whether every term of `when` is true of the facts."""
    return all(_term(term, facts) for term in when)


def _term(term: str, facts: frozenset[str]) -> bool:
    if term.startswith("!"):
        return term[1:] not in facts
    return any(choice in facts for choice in term.split("|"))
