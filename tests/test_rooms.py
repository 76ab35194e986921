"""The rules of the house: imports go one way, modules stay small, dependencies are declared."""

from __future__ import annotations

import ast
import re
import sys
import tomllib
from collections.abc import Iterator
from importlib.metadata import packages_distributions
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
PACKAGE = ROOT / "guidegen"
MODULES = sorted(PACKAGE.rglob("*.py"))

# A room may import the rooms of lower rank; those of its own rank when they are neighbours here.
GROUND = {"compiled", "errors", "resources", ""}
MAY_IMPORT = {
    "compiled": set(),
    "errors": set(),
    "resources": {"compiled"},
    "trade": GROUND,
    "vehicle": GROUND | {"trade"},
    "drawing": GROUND,
    "paper": GROUND | {"drawing"},
    "numbers": GROUND | {"trade", "vehicle"},
    "sequence": GROUND | {"trade", "vehicle"},
    "checks": GROUND | {"trade", "vehicle", "numbers"},
    "plan": GROUND | {"trade", "vehicle", "drawing", "paper"},
}
MAY_IMPORT["documents"] = set(MAY_IMPORT) | GROUND
MAY_IMPORT["messages"] = GROUND
MAY_IMPORT["pipeline"] = set(MAY_IMPORT) - {"paper", "messages"} | GROUND
MAY_IMPORT["packs"] = set(MAY_IMPORT) | GROUND
MAY_IMPORT["desk"] = set(MAY_IMPORT) - {"messages"} | GROUND
MAY_IMPORT["commands"] = set(MAY_IMPORT) | GROUND
MAY_IMPORT["cli"] = set(MAY_IMPORT) | GROUND
MAY_IMPORT["__main__"] = set(MAY_IMPORT) | GROUND


def room_of(module: Path) -> str:
    parts = module.relative_to(PACKAGE).with_suffix("").parts
    return "" if parts == ("__init__",) else parts[0]


def imports(module: Path) -> Iterator[str]:
    """Every module imported anywhere in the file, save for type checking alone."""
    tree = ast.parse(module.read_bytes())
    typing_only = {
        node
        for block in ast.walk(tree)
        if isinstance(block, ast.If) and ast.unparse(block.test).endswith("TYPE_CHECKING")
        for node in ast.walk(block)
    }
    for node in ast.walk(tree):
        if node in typing_only:
            continue
        if isinstance(node, ast.Import):
            yield from (name.name for name in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert not node.level, f"{module.name}: imports are written in full"
            yield node.module or ""


@pytest.mark.parametrize("room", sorted(MAY_IMPORT))
def test_room_imports_only_what_lies_below(room: str) -> None:
    allowed = MAY_IMPORT[room] | {room}
    for module in (m for m in MODULES if room_of(m) == room):
        for name in imports(module):
            if name == "guidegen" or name.startswith("guidegen."):
                other = (name.split(".") + [""])[1]
                assert other in allowed, f"{module.relative_to(ROOT)} imports {name}"


def test_every_module_has_its_room() -> None:
    assert {room_of(module) for module in MODULES} == set(MAY_IMPORT) | {""}


def test_simulator_shares_no_code_with_the_planner() -> None:
    simulators = {m for m in MODULES if m.stem.startswith("simulator")}
    assert simulators
    for module in simulators:
        for name in imports(module):
            own = name.startswith("guidegen.sequence.simulator")
            assert own or not name.startswith("guidegen"), f"{module.name}: {name}"


@pytest.mark.parametrize("module", MODULES, ids=lambda m: m.relative_to(PACKAGE).as_posix())
def test_module_is_short_and_says_what_it_is_for(module: Path) -> None:
    text = module.read_text(encoding="utf-8")
    assert text.count("\n") < 400
    assert ast.get_docstring(ast.parse(text)), "a docstring opens every module"


def test_what_is_declared_is_what_is_imported() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]
    extras = {
        group: {_name(need) for need in needs} for group, needs in project["optional-dependencies"].items()
    }
    declared = {_name(need) for need in project["dependencies"]}
    used = distributions_of(MODULES)
    assert used == declared | extras["watch"], "imported by the package"
    assert used & {"numpy", "scipy"} == set()
    tests = distributions_of(sorted((ROOT / "tests").rglob("*.py")))
    assert tests <= declared | extras["test"], "imported by the tests"
    by_name = {
        "distributed",
        "mypy",
        "ruff",
        "types-pyyaml",
        "watchfiles",
    }  # run or asked for by name, not imported
    assert extras["test"] - tests == by_name
    assert extras["test"] & declared == set()


def distributions_of(modules: list[Path]) -> set[str]:
    """The distributions from which these modules import."""
    known = packages_distributions()
    tops = {name.split(".")[0] for module in modules for name in imports(module)}
    own = {"guidegen", "", *(module.stem for module in modules)}
    return {
        distribution.lower()
        for top in tops - own - sys.stdlib_module_names
        for distribution in known.get(top, [top])
    }


def _name(requirement: str) -> str:
    return re.match(r"[\w.-]+", requirement)[0].lower()  # type: ignore[index]
