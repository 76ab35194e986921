"""Steps that are one act in several places, such as a lead's two ends: each is done right after the other."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import suppress
from itertools import pairwise, product
from typing import TypeAlias

from msgspec import Struct
from msgspec.structs import replace

from guidegen.sequence.ordering import Move, Ordering, Problem, closed
from guidegen.sequence.planner import Plan

Chain: TypeAlias = tuple[int, ...]  # steps of a plan, each to be done right after the one before it


class Joined(Struct, frozen=True):
    """A problem whose steps are chains. ways[s]: for each move of step s those of its chain's steps."""

    problem: Problem
    chains: tuple[Chain, ...]
    ways: tuple[tuple[tuple[int, ...], ...], ...]

    def apart(self, ordering: Ordering) -> Ordering:
        """The ordering with every step by itself again."""
        steps = (
            (step, way)
            for s, k in ordering.steps
            for step, way in zip(self.chains[s], self.ways[s][k], strict=True)
        )
        return replace(ordering, steps=tuple(steps))


def joined(problem: Problem, plan: Plan) -> Joined:
    """The problem with the plan's chains as one step each, but for those that something must come between."""
    possible = [chain for chain in _chains(plan) if _contracted(problem, [chain])]
    # A problem that runs in a circle by itself is left to the solver, which says so.
    return _contracted(problem, possible) or _contracted(problem, []) or Joined(problem, (), ())


def _chains(plan: Plan) -> Iterator[Chain]:
    index = {step.id: k for k, step in enumerate(plan.steps)}
    behind = {index[step.right_after]: index[step.id] for step in plan.steps if step.right_after in index}
    for head in behind.keys() - behind.values():
        chain = [head]
        while chain[-1] in behind:
            chain.append(behind[chain[-1]])
        yield tuple(chain)


def _contracted(problem: Problem, chains: Sequence[Chain]) -> Joined | None:
    """None where the order would then run in a circle."""
    chain_of: dict[int, Chain] = {step: (step,) for step in range(len(problem.moves))}
    chain_of |= {step: chain for chain in chains for step in chain}
    groups = [chain for step, chain in chain_of.items() if chain[0] == step]
    at = {step: g for g, group in enumerate(groups) for step in group}
    before = [
        _mask(at[b] for s in group for b in at if problem.before[s] >> b & 1 and b not in group)
        for group in groups
    ]
    ways = [tuple(product(*(range(len(problem.moves[s])) for s in group))) for group in groups]
    moves = tuple(
        tuple(
            _in_a_row([problem.moves[s][k] for s, k in zip(group, way, strict=True)], problem) for way in some
        )
        for group, some in zip(groups, ways, strict=True)
    )
    with suppress(ValueError):
        closed(before)
        return Joined(replace(problem, moves=moves, before=tuple(before)), tuple(groups), tuple(ways))
    return None


def _in_a_row(moves: Sequence[Move], problem: Problem) -> Move:
    """Several moves one after the other."""
    between = sum(problem.cost[a.last][b.first] for a, b in pairwise(moves))
    return Move(moves[0].first, moves[-1].last, between + sum(move.inner for move in moves))


def _mask(bits: Iterator[int]) -> int:
    found = 0
    for bit in bits:
        found |= 1 << bit
    return found
