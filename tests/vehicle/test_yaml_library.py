"""PyYAML as it is loaded here: sooner, and otherwise as it is."""

from __future__ import annotations

import subprocess
import sys

import yaml

PROGRAM = """
import re
given = re.compile
from guidegen.vehicle.yaml_library import yaml
assert re.compile is given
print(type(yaml.reader.Reader.NON_PRINTABLE).__name__)
for text in {texts!r}:
    for loader in (yaml.SafeLoader, yaml.CSafeLoader):
        try:
            print(yaml.load(text, Loader=loader))
        except yaml.YAMLError as error:
            print(type(error).__name__)
"""
TEXTS = (
    "a: [1, 2.5, .inf, 0x1f, 0o7, 1:30, yes, ~, 2026-01-05, 2026-01-05 10:00:00 +1, '1', \"b\", =, <<]",
    "a: \x01",
    "%YAML 1.1\n---\na: !!float 1\n",
    "a: \U0001f600\ud7ff\ue000",
)


def plainly(text: str) -> list[str]:
    said = []
    for loader in (yaml.SafeLoader, yaml.CSafeLoader):
        try:
            said.append(str(yaml.load(text, Loader=loader)))
        except yaml.YAMLError as error:
            said.append(type(error).__name__)
    return said


def test_it_reads_as_the_library_does_and_compiles_its_patterns_when_they_are_asked() -> None:
    program = [sys.executable, "-X", "utf8", "-c", PROGRAM.format(texts=TEXTS)]
    kind, *said = subprocess.run(
        program, capture_output=True, text=True, check=True, encoding="utf-8"
    ).stdout.splitlines()
    assert kind == "_Pattern"
    assert said == [line for text in TEXTS for line in plainly(text)]
