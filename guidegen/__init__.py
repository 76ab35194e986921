"""guidegen: printed owner's quick-reference guides for leisure vehicles, from one vehicle file."""

from __future__ import annotations

__version__ = "0.1.0"
