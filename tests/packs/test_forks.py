"""Work by a fork: its result, its faults, and nothing left of it."""

from __future__ import annotations

import os
import signal
import sys
import threading
import time
from collections.abc import Callable

import pytest

from guidegen.packs.forks import Line, forked, in_talk, may_fork

pytestmark = pytest.mark.skipif(sys.platform != "linux", reason="forking is not safe here")


def test_it_is_another_process_that_knows_what_this_one_knows() -> None:
    known = ["what was said", os.getpid()]
    with forked(lambda: (*known, os.getpid())) as found:
        said, first, other = found()
    assert (said, first) == ("what was said", os.getpid())
    assert other != os.getpid()


def test_both_say_and_hear_in_turn() -> None:
    def doubled(line: Line) -> str:
        while number := line.hear():
            line.say(2 * number)
        return "done"

    with in_talk(doubled) as line:
        for number in (3, 4):
            line.say(number)
            assert line.hear() == 2 * number
        line.say(0)
        assert line.hear() == "done"
        assert line.hear() is None


def test_who_says_much_does_not_wait_until_it_is_heard() -> None:
    def said(line: Line) -> float:
        line.say(bytes(500_000))
        return time.monotonic()

    with in_talk(said) as line:
        threading.Event().wait(0.2)
        before = time.monotonic()
        assert line.hear() == bytes(500_000)
        assert line.hear() < before


def test_what_is_said_to_a_fork_that_ended_is_lost(forks: Callable[[], set[int]]) -> None:
    with in_talk(lambda _: None) as line:
        assert line.hear() is None
        (fork,) = forks()
        os.waitid(os.P_PID, fork, os.WEXITED | os.WNOWAIT)
        line.say(bytes(2_000_000))
    assert not forks()


def test_much_is_sent_whole() -> None:
    with forked(lambda: bytes(5_000_000)) as found:
        assert found() == bytes(5_000_000)


def test_a_fault_and_a_fork_that_was_killed_give_nothing(forks: Callable[[], set[int]]) -> None:
    with forked(lambda: 1 / 0) as found:
        assert found() is None
    with forked(threading.Event().wait) as found:
        (fork,) = forks()
        os.kill(fork, signal.SIGKILL)
        assert found() is None


def test_it_ends_with_the_block_and_leaves_no_process(forks: Callable[[], set[int]]) -> None:
    with forked(threading.Event().wait):
        assert len(forks()) == 1
    assert not forks()


def test_beside_other_threads_nothing_is_forked() -> None:
    ended = threading.Event()
    thread = threading.Thread(target=ended.wait)
    thread.start()
    try:
        assert not may_fork()
    finally:
        ended.set()
        thread.join()
