"""Texts of steps, cautions and quick help as ASD-STE100 (issue 7) says for procedures:

5.1 short sentences, at most 20 words; 5.2 one instruction a sentence; 5.3 imperative; 5.4 a condition
that comes first is set off by a comma. Section 7: warnings and cautions stand on their own, and each is
short (our measure: at most three sentences).
"""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest

from guidegen.drawing.symbols import symbol_names
from guidegen.trade.load import load_trade
from guidegen.trade.records import Caution, Step

TRADE = load_trade()
# Verbs that an owner does, written in the imperative.
_VERBS = """apply call care change charge chock clear close coil connect couple draw drain empty fill fit get hang keep
    lay leave let level light lock look lower make open park peg press pull push put raise release roll run set stand
    start stow switch take touch treat turn uncouple uncover unplug unroll use walk wind"""
VERBS = set(_VERBS.split())
OPENERS = {"with", "on", "when", "if", "at", "once", "unless", "before", "after", "without"}
# Second verbs after "and" that would make two instructions of a sentence.
SECOND = re.compile(r"\b(?:and|then|or) (?:" + "|".join(sorted(VERBS - {"light", "level", "lock"})) + r")\b")

steps = pytest.mark.parametrize("step", TRADE.steps, ids=lambda s: f"{s.sequence}:{s.id}:{'+'.join(s.when)}")
cautions = pytest.mark.parametrize("caution", TRADE.cautions.values(), ids=TRADE.cautions)


def sentences(text: str) -> list[str]:
    return [s for s in re.split(r"(?<=[.!?;])\s+", text) if s]


def words(sentence: str) -> list[str]:
    return re.findall(r"[\w’'°-]+", sentence)


def instruction(sentence: str) -> str:
    """What is left after a leading condition, which ends at the first comma."""
    first = words(sentence)[0].lower()
    if first in OPENERS:
        assert "," in sentence, f"the condition is not set off by a comma: {sentence}"
        return sentence.split(",", 1)[1].strip()
    return sentence


@steps
def test_sentences_of_steps_are_short(step: Step) -> None:
    for sentence in sentences(step.text):
        assert len(words(sentence)) <= 20, sentence
    assert len(sentences(step.text)) <= 2, "one action; a second only where the first is nothing without it"


@steps
def test_every_sentence_gives_one_instruction(step: Step) -> None:
    for sentence in sentences(step.text):
        assert not SECOND.search(instruction(sentence)), sentence


@steps
def test_every_sentence_is_imperative_after_its_condition(step: Step) -> None:
    for sentence in sentences(step.text):
        assert words(instruction(sentence))[0].lower() in VERBS, sentence


@steps
def test_neither_number_nor_place_stands_in_the_text(step: Step) -> None:
    """They are printed apart, and differ from vehicle to vehicle."""
    digits = re.sub(r"\b(?:230|12) V\b", "", step.text)
    assert not re.search(r"\d", digits)
    assert not re.search(r"\b(?:nearside|offside|bench|cupboard under|left|right)\b", step.text)


@steps
def test_every_step_says_what_shows_that_it_worked_and_what_would_happen_otherwise(step: Step) -> None:
    assert step.check.endswith(".") and step.text.endswith(".") and step.why.endswith(".")
    assert all(len(words(s)) <= 20 for s in sentences(step.check))
    assert len(words(step.why)) <= 30


@steps
def test_every_step_names_cautions_and_steps_that_exist(step: Step) -> None:
    assert {c.split("?")[0] for c in step.cautions} <= set(TRADE.cautions)
    assert {a.split("?")[0] for a in step.after} <= {s.id for s in TRADE.steps if s.sequence == step.sequence}


@steps
def test_every_condition_of_a_step_has_words(step: Step) -> None:
    for condition in (*step.needs, *step.gives):
        name = re.split("[?=]", condition.lstrip("!"))[0]
        assert name in TRADE.conditions


@steps
def test_every_place_of_a_step_exists(step: Step) -> None:
    fixed = {
        "driver-seat",
        "cab",
        "pitch-post",
        "taps",
        "hot-taps",
        "windows",
        "lockers",
        "wheels",
        "round",
        "inside",
        "outside",
    }
    for entry in step.at:
        assert set(entry.lstrip("<>").split("?")[0].split("|")) <= set(TRADE.kinds) | fixed


@cautions
def test_cautions_are_short_and_plain(caution: Caution) -> None:
    assert 1 <= len(sentences(caution.text)) <= 3
    assert all(len(words(s)) <= 20 for s in sentences(caution.text))


@cautions
def test_cautions_have_a_signal_word_a_sign_and_a_source(caution: Caution) -> None:
    assert caution.signal in ("danger", "warning", "caution", "notice")  # ISO 3864-2, ANSI Z535.6
    assert caution.sign in symbol_names()
    if caution.signal == "notice":  # ANSI Z535.6, from memory: no warning sign where nobody can be hurt
        assert not caution.sign.startswith("w")
    assert caution.source


@cautions
def test_a_notice_bears_no_warning_sign(caution: Caution) -> None:
    """NOTICE is for damage, not injury, and carries no safety alert symbol (ANSI Z535.4, from memory)."""
    assert caution.sign.startswith("w") is (caution.signal != "notice")


# What must be warned of, by words that the text cannot do without (common practice, no source).
MUST_WARN = {
    "gas-leak": ("danger", ["smell gas", "switch", "flame", "close", "doors", "everyone out", "engineer"]),
    "co": ("danger", ["never heat", "hob", "never run a heater", "garage", "alarm", "out"]),
    "gas-heavy": ("warning", ["heavier than air", "drop vent", "nothing"]),
    "awning-fumes": ("warning", ["never", "heater", "barbecue", "closed awning"]),
    "cooking": ("warning", ["window", "roof light"]),
    "mains-lead": ("warning", ["dry", "undamaged", "uncoiled"]),
    "mains-rcd": ("warning", ["must trip", "test"]),
    "dry-heater": ("caution", ["never heat", "empty"]),
    "frost": ("caution", ["frost", "heater", "pump", "taps"]),
    "cowl": ("caution", ["cover", "never pull it sideways", "unclip"]),
    "exercise": ("notice", ["seldom", "each"]),
    "warm-up": ("notice", ["quicker on gas"]),
    "gas-winter": ("notice", ["butane", "0 °c"]),
}


@pytest.mark.parametrize(("id", "signal", "parts"), [(k, *v) for k, v in MUST_WARN.items()])
def test_what_must_be_warned_of(id: str, signal: str, parts: list[str]) -> None:
    caution = TRADE.cautions[id]
    assert caution.signal == signal
    said = " ".join((*(one.text for one in caution.before), caution.text)).lower()
    for part in parts:
        assert part in said


def hints() -> Iterator[str]:
    for symptom in TRADE.symptoms:
        yield from (hint.text for hint in symptom.hints if hint.text != "@chain")
    yield from (c.help for c in TRADE.conditions.values() if c.help)


@pytest.mark.parametrize("text", sorted(set(hints())))
def test_hints_are_short(text: str) -> None:
    assert all(len(words(s)) <= 20 for s in sentences(text))
    assert len(sentences(text)) <= 3


def test_nobody_is_told_to_work_on_gas_or_mains() -> None:
    """An owner never opens, adjusts or repairs a gas or mains installation."""
    texts = [s.text for s in TRADE.steps] + [s.check for s in TRADE.steps] + list(hints())
    for text in texts:
        assert not re.search(r"\b(?:repair|adjust|unscrew|dismantle|rewire|solder|bypass)\b", text.lower())


def test_butane_stops_at_the_temperature_that_is_said() -> None:
    """Boiling point of n-butane at 1 atm: −0.5 °C (CRC Handbook of Chemistry and Physics, from memory)."""
    assert "about 0 °C" in TRADE.cautions["gas-winter"].text
    # Vapour against air: 44.1 and 58.1 over 28.97 g/mol.
    source = TRADE.cautions["gas-heavy"].source
    assert f"about {44.1 / 28.97:.1f} (propane)" in source
    assert f"{58.1 / 28.97:.0f} (butane)" in source


SPECIFIED = {  # the steps of each sequence
    "arrive": """park-level steadies-down step-out cowl-clear fridge-vents-clear cylinder-open regulator-reset
        isolators-check lead-vehicle lead-post mains-on rcd-test charger-on master-on waste-check drains-check
        fill pump-on prime water-heater-on heating-on fridge-choose toilet-ready alarms-test aerial-up
        awning-out""",
    "leave": """loose-items-stow taps-close heating-off water-heater-off pump-off fridge-travel
        toilet-blade-close cassette-empty waste-empty waste-check aerial-down awning-in roof-lights-close
        windows-close blinds-cab-open mains-off lead-post-off lead-vehicle-off lead-stow cylinder-close
        steadies-up step-in lockers-shut walk-round drive""",
    "lay-up": """water-heater-off pump-off fresh-drain-open heater-drain-open low-drains-open taps-open-middle
        waste-empty cassette-empty fridge-off cylinder-close master-off cushions-up tag""",
    "recommission": """drains-check taps-close battery-on alarms-test hoses-check fill pump-on prime
        water-heater-on heating-on""",
}


@pytest.mark.parametrize("sequence", SPECIFIED)
def test_every_specified_step_is_there(sequence: str) -> None:
    assert set(SPECIFIED[sequence].split()) <= {s.id for s in TRADE.steps if s.sequence == sequence}


def test_priming_takes_about_two_minutes() -> None:
    assert {s.minutes for s in TRADE.steps if s.id == "prime"} == {2}
