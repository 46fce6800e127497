"""Many take-homes at once: all appear once, whole and the same, whoever made them."""

from __future__ import annotations

import multiprocessing
import os
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from pathlib import Path

import psutil
import pytest
from support.casebooks import MONDAY, everything_in, say_something

from cliptag.casebook import Casebook, ExportOutcome, ExportTask, export_job
from cliptag.casebook.versions import fingerprint
from cliptag.errors import CasebookError
from cliptag.export import ExportOptions
from cliptag.review import load_review

FILES = {"commentary.mp4", "commentary.vtt", "chapters.vtt", "transcript.txt"}
REVIEWS = 4


@pytest.fixture
def due(book: Casebook, new_clip) -> Casebook:
    """With four reviews that are done, and may be sent back."""
    book.record_consent("Ines", ["private_feedback"], given_on=MONDAY, how="e-mail")
    for number in range(1, REVIEWS + 1):
        clip = book.add("Ines", [new_clip(f"{number}.mp4")])[0].clip
        say_something(book, clip.id, f"Note {number}.")
        book.set_state(clip.id, "done")
    return book


def task_of(book: Casebook, clip_id: int, folder: Path) -> ExportTask:
    clip = book.clip(clip_id)
    review = book.review_path(clip)
    return ExportTask(
        casebook=str(book.folder),
        clip_id=clip_id,
        review=review.relative_to(book.folder).as_posix(),
        fingerprint=fingerprint(load_review(review)),
        folder=str(folder),
        options=ExportOptions(),
    )


@pytest.fixture(scope="module")
def expected() -> dict[int, str]:
    """The digest that each review's take-home had the first time it was made in this module."""
    return {}


def check_all_appeared_once(
    book: Casebook, outcomes: tuple[ExportOutcome, ...], expected: dict[int, str]
) -> None:
    assert sorted(outcome.clip_id for outcome in outcomes) == list(range(1, REVIEWS + 1))
    assert [outcome.failure for outcome in outcomes] == [""] * REVIEWS
    home = book.folder / "clients" / "Ines"
    folders = [path for path in home.rglob("*") if path.is_dir() and "take-home" in path.name]
    assert len(folders) == REVIEWS  # no half-made one beside them
    for outcome in outcomes:
        (kept,) = book.take_homes(outcome.clip_id)
        assert kept.digest == outcome.digest and kept.sent_at is None
        assert {path.name for path in (home / kept.folder).iterdir()} >= FILES
        assert expected.setdefault(outcome.clip_id, kept.digest) == kept.digest
    assert {clip.state for clip in book.clips()} == {"exported"}
    assert book.check(every_byte=True) == ()


def test_all_that_is_due_is_made_in_worker_processes(due: Casebook, expected: dict[int, str]):
    heard: list[tuple[int, int]] = []
    outcomes = due.export_due(workers=2, heard=lambda _, done, total: heard.append((done, total)))
    check_all_appeared_once(due, outcomes, expected)
    assert heard == [(number, REVIEWS) for number in range(1, REVIEWS + 1)]
    assert due.export_due() == ()
    assert due.mark_sent(1, how="messenger").sent_at is not None
    assert due.clip(1).state == "sent"


def test_a_worker_that_is_killed_is_replaced_and_nothing_is_made_twice(
    due: Casebook, expected: dict[int, str]
):
    victims: list[int] = []

    def kill_one() -> None:
        while not victims:
            for child in multiprocessing.active_children():
                parts = list(due.folder.rglob(".*take-home*.part"))
                if parts and child.pid:  # it is in the middle
                    os.kill(child.pid, signal.SIGKILL)
                    victims.append(child.pid)
                    return
            time.sleep(0.02)

    killer = threading.Thread(target=kill_one, daemon=True)
    killer.start()
    outcomes = due.export_due(workers=2)
    killer.join(timeout=5)
    assert victims
    check_all_appeared_once(due, outcomes, expected)


def test_ctrl_c_ends_the_workers_and_leaves_nothing_half_made(due: Casebook):
    command = [sys.executable, "-m", "cliptag", "export", "--all-due", "--book", str(due.folder)]
    exporting = subprocess.Popen(command, stderr=subprocess.PIPE, text=True)
    until = time.monotonic() + 60
    while not any(due.folder.rglob(".*take-home*.part")):
        assert time.monotonic() < until and exporting.poll() is None
        time.sleep(0.02)
    exporting.send_signal(signal.SIGINT)
    said = exporting.communicate(timeout=60)[1]
    assert exporting.returncode == 1 and "nothing was left half-written" in said
    assert not any(due.folder.rglob("*.part"))
    whole = {made.folder for clip in due.clips() for made in due.take_homes(clip.id)}
    home = due.folder / "clients" / "Ines"
    on_disk = {path.relative_to(home).as_posix() for path in home.rglob("*take-home*")}
    assert whole == on_disk
    assert {clip.state for clip in due.clips()} <= {"done", "exported"}


@pytest.fixture
def cluster(home: Path) -> Iterator[tuple[str, list[subprocess.Popen[bytes]]]]:
    """A scheduler and two workers on this machine: its address, and the workers' processes."""
    pytest.importorskip("distributed")
    quiet = {"stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL}
    note = home / "scheduler.json"
    home.mkdir(exist_ok=True)
    dask = [sys.executable, "-m", "distributed.cli"]
    command = [*dask[:2], "distributed.cli.dask_scheduler", "--host", "127.0.0.1", "--port", "0"]
    command += ["--no-dashboard", "--scheduler-file", str(note)]
    processes = [subprocess.Popen(command, **quiet)]
    command = [*dask[:2], "distributed.cli.dask_worker", "--scheduler-file", str(note)]
    command += ["--nthreads", "1", "--no-nanny", "--no-dashboard"]
    command += ["--local-directory", str(home / "dask")]
    workers = [subprocess.Popen(command, **quiet) for _ in range(2)]
    processes += workers
    try:
        yield _address(note), workers
    finally:
        for process in processes:
            process.kill()
        for process in processes:
            process.wait()


def _address(note: Path) -> str:
    import distributed

    until = time.monotonic() + 60
    while not note.exists():
        assert time.monotonic() < until, "the scheduler didn't start"
        time.sleep(0.05)
    with distributed.Client(scheduler_file=str(note), set_as_default=False) as client:
        client.wait_for_workers(2, timeout=60)
        return str(client.scheduler.address)


@pytest.mark.slow
def test_a_cluster_makes_the_same_though_a_worker_is_killed_in_the_middle(
    due: Casebook, cluster: tuple[str, list[subprocess.Popen[bytes]]], expected: dict[int, str]
):
    address, workers = cluster
    victims: list[int] = []

    def kill_one() -> None:
        while not victims:
            for worker in workers:
                # Its ffmpeg is running: it is in the middle of an export.
                is_busy = any(due.folder.rglob(".*take-home*.part"))
                if is_busy and psutil.Process(worker.pid).children():
                    worker.kill()
                    victims.append(worker.pid)
                    return
            time.sleep(0.02)

    killer = threading.Thread(target=kill_one, daemon=True)
    killer.start()
    outcomes = due.export_due(scheduler=address)
    killer.join(timeout=5)
    assert victims
    check_all_appeared_once(due, outcomes, expected)


def test_a_scheduler_that_does_not_answer_is_told(due: Casebook, monkeypatch: pytest.MonkeyPatch):
    pytest.importorskip("distributed")
    monkeypatch.setattr("cliptag.casebook.cluster._SECONDS_TO_ANSWER", 1)
    with pytest.raises(CasebookError, match="No scheduler answers"):
        due.export_due(scheduler="tcp://127.0.0.1:9")
    assert {clip.state for clip in due.clips()} == {"done"}


def test_without_consent_nothing_is_made_of_a_clip(due: Casebook):
    due.withdraw_consent(
        "Ines", ["private_feedback"], withdrawn_on=MONDAY, how="by phone", clip_id=2
    )
    outcomes = {outcome.clip_id: outcome for outcome in due.export_due(workers=1)}
    assert "was withdrawn on 2026-03-02" in outcomes[2].failure
    assert [outcomes[number].failure for number in (1, 3, 4)] == [""] * 3
    assert (due.clip(2).state, due.take_homes(2)) == ("done", ())
    shown = due.export_due(options=ExportOptions(shown_for="public"))
    assert [outcome.clip_id for outcome in shown] == [2]
    assert "no consent for being shown openly" in shown[0].failure


def test_a_job_done_twice_makes_its_folder_once(due: Casebook):
    task = task_of(due, 1, Path("clients/Ines/one.take-home"))
    first = export_job(task)
    before = everything_in(due.folder / "clients")
    assert export_job(task) == first and first.failure == ""
    assert everything_in(due.folder / "clients") == before


def test_a_review_that_changed_meanwhile_is_not_exported(due: Casebook):
    task = task_of(due, 1, Path("clients/Ines/one.take-home"))
    say_something(due, 1, "One more.")
    assert "was changed after it was said to be done" in export_job(task).failure
    assert not (due.folder / task.folder).exists()
    # It isn't due any more, until the coach says so again.
    for number in (2, 3, 4):
        due.set_state(number, "in_work")
    assert due.export_due() == ()
    assert due.clip(1).state == "in_work"


def test_a_newer_take_home_takes_the_place_of_one_that_was_not_sent(due: Casebook):
    for number in (2, 3, 4):
        due.set_state(number, "in_work")
    due.export_due(workers=1)
    (first,) = due.take_homes(1)
    say_something(due, 1, "One more.")
    assert [clip.id for clip in due.refresh()] == [1]
    due.set_state(1, "done")
    due.export_due(workers=1)
    (second,) = due.take_homes(1)
    home = due.folder / "clients" / "Ines"
    assert second.folder != first.folder and not (home / first.folder).exists()
    due.mark_sent(1, how="messenger")
    say_something(due, 1, "And another.")
    due.set_state(1, "done")
    due.export_due(workers=1)
    assert due.take_homes(1)[0].folder == second.folder
    assert (home / second.folder).is_dir() and len(due.take_homes(1)) == 2
