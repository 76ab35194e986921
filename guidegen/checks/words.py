"""Rules on words that name something: what points serve, steps in orders, the side of the road."""

from __future__ import annotations

from collections.abc import Iterator
from difflib import get_close_matches

from guidegen.checks.rule import Fault, Scene, rule
from guidegen.vehicle.description import Equipment


@rule("serves-unknown")
def serves_unknown(scene: Scene) -> Iterator[Fault]:
    """A point serves something that is neither a kind, nor a point, nor equipment."""
    equipment = {name.replace("_", "-") for name in Equipment.__struct_fields__}
    known = equipment | set(scene.trade.kinds) | {p.id for p in scene.points}
    for point in scene.points:
        for word in point.serves:
            if word not in known:
                yield Fault(
                    f"“{point.name}” serves “{word}”, which is no kind, point or equipment",
                    _meant(word, known, "name a kind, such as hob, or the id of a point"),
                    point.mark,
                )


def _meant(word: str, known: set[str], otherwise: str) -> str:
    close = get_close_matches(word, sorted(known), 1, 0.6)
    return f"did you mean “{close[0]}”?" if close else otherwise


@rule("step-unknown")
def step_unknown(scene: Scene) -> Iterator[Fault]:
    """An order or an extra step names a step that does not exist."""
    vehicle = scene.vehicle
    if not vehicle.orders and not vehicle.extra_steps:
        return
    extra = {step.id for step in vehicle.extra_steps}
    known = {step.id for step in scene.trade.steps} | extra
    named = [(word, f"orders.{name}") for name, words in vehicle.orders.items() for word in words]
    named += [
        (word, f"extra_steps.{n}.{key}")
        for n, step in enumerate(vehicle.extra_steps)
        for key in ("before", "after")
        for word in getattr(step, key)
    ]
    for word, path in named:
        if word not in known:
            none = "see the names of the steps: guidegen sequence VEHICLE --json"
            yield Fault(f"there is no step “{word}”", _meant(word, known, none), scene.mark(path))


@rule("extra-step-twice")
def extra_step_twice(scene: Scene) -> Iterator[Fault]:
    """An extra step has the id of another step of its sequence."""
    extra = scene.vehicle.extra_steps
    seen = {(step.sequence, step.id) for step in scene.trade.steps} if extra else set()
    for n, step in enumerate(extra):
        if (step.sequence, step.id) in seen:
            yield Fault(
                f"the extra step “{step.id}” has the id of another step",
                "give it an id of its own",
                scene.mark(f"extra_steps.{n}.id"),
            )
        seen.add((step.sequence, step.id))


@rule("side-assumed")
def side_assumed(scene: Scene) -> Iterator[Fault]:
    """The file does not say which side is the nearside, so that it was assumed."""
    vehicle = scene.vehicle
    if not vehicle.marks or "steering" in vehicle.marks or "rule_of_the_road" in vehicle.marks:
        return
    if vehicle.kind == "caravan":
        message, hint = (
            "the side of the road is not said: driving on the left is assumed",
            "rule_of_the_road: left",
        )
    else:
        message, hint = "the steering side is not said: right is assumed", "steering: right"
    yield Fault(message, f"add “{hint}”, because nearside and offside hang on it", scene.mark("kind"))


RULES = (serves_unknown, step_unknown, extra_step_twice, side_assumed)
