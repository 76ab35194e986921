"""Work by a fork: its result, its faults, and nothing left of it."""

from __future__ import annotations

import os
import signal
import sys
import threading
from collections.abc import Callable

import pytest

from guidegen.packs.forks import forked, heaped, may_fork, taken

pytestmark = pytest.mark.skipif(sys.platform != "linux", reason="forking is not safe here")


def test_it_is_another_process_that_knows_what_this_one_knows() -> None:
    known = ["what was said", os.getpid()]
    with forked(lambda: (*known, os.getpid())) as found:
        said, first, other = found()
    assert (said, first) == ("what was said", os.getpid())
    assert other != os.getpid()


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


def test_it_can_be_told_without_waiting_whether_there_is_an_answer() -> None:
    asked, begin = os.pipe()
    with forked(lambda: os.read(asked, 1)) as found:
        assert not found.begins()
        os.write(begin, b"!")
        assert found() == b"!"
    os.close(asked)
    os.close(begin)


def test_it_ends_with_the_block_and_leaves_no_process(forks: Callable[[], set[int]]) -> None:
    with forked(threading.Event().wait):
        assert len(forks()) == 1
    assert not forks()


def test_a_heap_is_worked_off_by_both_and_each_task_is_taken_once() -> None:
    with heaped(bytes(range(200))) as heap, forked(lambda: list(taken(heap))) as theirs:
        mine = list(taken(heap))
        assert sorted(mine + theirs()) == list(range(200))
        assert list(taken(heap)) == []


def test_beside_other_threads_nothing_is_forked() -> None:
    ended = threading.Event()
    thread = threading.Thread(target=ended.wait)
    thread.start()
    try:
        assert not may_fork()
    finally:
        ended.set()
        thread.join()
