"""Kept answers are bounded in number and bytes, and the one asked for longest ago goes first."""

from __future__ import annotations

from threading import Thread

from threadwright_service.app.kept_answers import KeptAnswers
from threadwright_service.app.reply import Reply


def reply(size: int) -> Reply:
    return Reply(status=200, body=b"x" * size, content_type="text/plain")


def key(number: int) -> tuple[str, str, str]:
    return ("/v1/x", str(number), "")


def test_number_is_bounded_and_use_is_remembered() -> None:
    kept = KeptAnswers(2)
    for number in (1, 2):
        kept.put(key(number), reply(10))
    assert kept.get(key(1)) is not None
    kept.put(key(3), reply(10))
    assert kept.get(key(2)) is None, "it was asked for longest ago"
    assert kept.get(key(1)) is not None
    assert kept.get(key(3)) == reply(10)


def test_bytes_are_bounded() -> None:
    kept = KeptAnswers(1_000, most_bytes=1_000)
    for number in range(50):
        kept.put(key(number), reply(90))
        kept.put(key(number), reply(90))  # the same once more counts once
    held = [number for number in range(50) if kept.get(key(number))]
    assert held == list(range(39, 50)), "eleven of 90 bytes fit into 1,000"


def test_none_is_kept_if_so_set() -> None:
    kept = KeptAnswers(0)
    kept.put(key(1), reply(1))
    assert kept.get(key(1)) is None


def test_a_large_answer_or_a_long_query_is_not_kept() -> None:
    kept = KeptAnswers(10, most_bytes=4_000)
    kept.put(key(1), reply(1_001))
    kept.put(key(2), reply(1_000))
    kept.put(("/v1/x", "q" * 2_001, ""), reply(1))
    assert kept.get(key(1)) is None, "more than a quarter of all"
    assert kept.get(key(2)) is not None
    assert kept.get(("/v1/x", "q" * 2_001, "")) is None


def test_threads_do_not_spoil_the_count() -> None:
    kept = KeptAnswers(20, most_bytes=10_000)

    def work(start: int) -> None:
        for number in range(start, start + 2_000):
            kept.put(key(number % 300), reply(100))
            kept.get(key((number * 7) % 300))

    threads = [Thread(target=work, args=(start,)) for start in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    for number in range(1_000, 1_020):
        kept.put(key(number), reply(100))
    assert sum(kept.get(key(number)) is not None for number in range(1_020)) == 20
