"""Descriptions by chance: data or findings, whole packs or none, and never a fault of the program."""

from __future__ import annotations

import random
import time
from pathlib import Path
from types import ModuleType

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from guidegen import build, inspect
from guidegen.documents.registry import DOCUMENTS
from guidegen.packs.report import EXIT_FAULT

CHECKED, BUILT = 300, 12
LONGEST_S = 5.0


@pytest.fixture(scope="module")
def work(descriptions_by_chance: ModuleType, tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("fuzz")
    list(descriptions_by_chance.pictures(folder))
    return folder


def test_broken_descriptions_are_checked_or_refused(descriptions_by_chance: ModuleType, work: Path) -> None:
    file = work / "vehicle.yaml"
    sound = 0
    for seed in range(CHECKED):
        file.write_bytes(descriptions_by_chance.by_chance(seed))
        start = time.process_time()
        review = inspect(file)
        assert time.process_time() - start < LONGEST_S, f"seed {seed}"
        assert review.readable or review.has_errors, f"seed {seed}"
        assert all(f.message and f.mark.line and f.mark.column for f in review.findings), f"seed {seed}"
        sound += review.readable and not review.has_errors
    assert CHECKED // 10 < sound < CHECKED * 0.9


@settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck), derandomize=True)
@given(chance=st.randoms(use_true_random=False), whole=st.booleans())
def test_smallest_description_that_fails(
    descriptions_by_chance: ModuleType, work: Path, chance: random.Random, whole: bool
) -> None:
    """The same by hypothesis, which makes a failing description smaller."""
    made = descriptions_by_chance
    file = work / "small.yaml"
    file.write_bytes(made.as_yaml(made.described(chance)) if whole else made.broken(chance))
    review = inspect(file)
    assert review.readable or review.has_errors


def test_sound_descriptions_become_whole_packs_or_say_why_not(
    descriptions_by_chance: ModuleType, work: Path
) -> None:
    """What passes the checks is built: all documents or a plain word why not, and nothing half done."""
    file, out = work / "built.yaml", work / "out"
    wanted = {f"{name}.{suffix}" for name, entry in DOCUMENTS.items() for suffix in entry.formats}
    built = refused = 0
    for seed in range(10_000, 20_000):
        if built + refused == BUILT:
            break
        file.write_bytes(descriptions_by_chance.by_chance(seed))
        review = inspect(file)
        if not review.vehicle or review.has_errors:
            continue
        start = time.process_time()
        report = build(file, out, only=("card", "stickers"), force=True)
        assert time.process_time() - start < LONGEST_S, f"seed {seed}"
        assert report.exit_code != EXIT_FAULT, f"seed {seed}: {report.message}"
        if report.failed:
            refused += 1
            assert report.exit_code == 1
            assert report.message, f"seed {seed}"
            continue
        built += 1
        pack = out / review.vehicle.id
        made = {f.name.removeprefix(f"{review.vehicle.id}-") for f in pack.iterdir() if f.name[0] != "."}
        assert made <= wanted, f"seed {seed}"
        assert not list(out.rglob("*.tmp")), f"seed {seed}"
    assert built > BUILT * 0.7
