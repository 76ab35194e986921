"""guidegen: printed owner's quick-reference guides for leisure vehicles, from one vehicle file."""

from __future__ import annotations

import importlib
from typing import TYPE_CHECKING, Any

__version__ = "0.1.0"

if TYPE_CHECKING:
    from guidegen.packs.building import build as build
    from guidegen.packs.many import build_many as build_many
    from guidegen.packs.report import Report as Report
    from guidegen.pipeline import inspect as inspect
    from guidegen.pipeline import prepare as prepare
    from guidegen.vehicle.reading import read_vehicle as read_vehicle

# What a program may use, and where it lives; imported when it is first used.
_PUBLIC = {
    "build": "guidegen.packs.building",
    "build_many": "guidegen.packs.many",
    "Report": "guidegen.packs.report",
    "inspect": "guidegen.pipeline",
    "prepare": "guidegen.pipeline",
    "read_vehicle": "guidegen.vehicle.reading",
}
__all__ = ["Report", "__version__", "build", "build_many", "inspect", "prepare", "read_vehicle"]


def __getattr__(name: str) -> Any:
    module = _PUBLIC.get(name)
    if module is None:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(importlib.import_module(module), name)
