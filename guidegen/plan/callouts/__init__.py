"""Callouts for a drawing: numbered badges about a body, joined to their sites by leaders that never cross.

Boundary labelling in the sense of Bekos, Kaufmann, Symvonis and Wolff, "Boundary Labeling: Models and
Efficient Algorithms for Rectangular Maps", Computational Geometry 36 (2007): sites, ports on a boundary, and
leaders of least total length.
"""

from guidegen.plan.callouts.engine import place
from guidegen.plan.callouts.model import (
    Aside,
    Badge,
    Box,
    Callout,
    CannotPlace,
    LeaderStyle,
    Placement,
    Polygon,
    Site,
    Task,
    TooFar,
)
from guidegen.plan.callouts.order import clockwise

__all__ = [
    "Aside",
    "Badge",
    "Box",
    "Callout",
    "CannotPlace",
    "LeaderStyle",
    "Placement",
    "Polygon",
    "Site",
    "Task",
    "TooFar",
    "clockwise",
    "place",
]
