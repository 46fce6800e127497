"""Runs changes of a casebook in processes that are killed, and tells what each had acknowledged.

A process of its own, so that it can fork: the tests' own process has threads and Qt.

    python casebook_zygote.py lines FOLDER TINY SCRIPT EVERY   kill at every n-th line of a change
    python casebook_zygote.py times FOLDER TINY SCRIPT ROUNDS  kill at random times

Prints one JSON line for each killed process: what it acknowledged, and what was found after it.
"""

from __future__ import annotations

import json
import os
import random
import shutil
import signal
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from types import FrameType
from typing import Any

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from support.casebooks import MONDAY, clip_file, noon, say_something, with_ines

import cliptag
from cliptag.casebook import Casebook, repair_casebook

Ack = Callable[[str], None]
ROOM = str(Path(cliptag.__file__).parent / "casebook")
FILES = str(Path(cliptag.__file__).parent / "files.py")


def clients(book: Casebook, ack: Ack, clip: Callable[[str], Path]) -> None:
    book.add_client("Otto", contact="otto@example.org")
    ack("client Otto")
    book.plan("Otto", starts_on=MONDAY, topics=["sitting"] * 4)
    ack("plan Otto")
    book.change_client("Otto", new_name="Otto B")
    ack("renamed Otto B")


def clips(book: Casebook, ack: Ack, clip: Callable[[str], Path]) -> None:
    for name in ("one.mp4", "two.mp4"):
        told = book.add("Ines", [clip(name)], received_at=noon(MONDAY))[0]
        ack(f"clip {told.clip.digest}")


def consent(book: Casebook, ack: Ack, clip: Callable[[str], Path]) -> None:
    book.record_consent(
        "Ines", ["private_feedback"], given_on=MONDAY, how="e-mail", message="I agree."
    )
    ack("consent 1")
    book.withdraw_consent("Ines", ["private_feedback"], withdrawn_on=MONDAY, how="by phone")
    ack("consent 2")


def states(book: Casebook, ack: Ack, clip: Callable[[str], Path]) -> None:
    say_something(book, 1)
    book.refresh()
    ack("state in_work")
    book.set_state(1, "done")
    ack("state done")
    folder = book.folder.parent / "for-ines"
    folder.mkdir(exist_ok=True)
    (folder / "commentary.mp4").write_bytes(b"video")
    book.mark_sent(1, how="messenger", folder=folder)
    ack("state sent")


def erasing(book: Casebook, ack: Ack, clip: Callable[[str], Path]) -> None:
    book.erase("Ines")
    ack("erased Ines")


def mending(book: Casebook, ack: Ack, clip: Callable[[str], Path]) -> None:
    book.close()
    book.folder.joinpath("casebook.db").write_bytes(b"no database" * 999)
    ack("damaged")
    repair_casebook(book.folder)
    ack("mended")


SCRIPTS = {
    function.__name__: function for function in (clients, clips, consent, states, erasing, mending)
}


def holds(folder: Path, acked: list[str]) -> list[str]:
    """What of the acknowledged changes is not there after the crash."""
    lost = []
    if "damaged" in acked:
        repair_casebook(folder)
    with Casebook.open(folder) as book:
        for line in acked:
            what, _, value = line.partition(" ")
            if not is_there(book, what, value, acked):
                lost.append(line)
        bad = [problem.sentence for problem in book.check() if problem.kind not in OK_AFTER]
        lost += bad
    repair_casebook(folder)
    with Casebook.open(folder) as book:
        lost += [problem.sentence for problem in book.check() if problem.kind not in OK_AFTER]
    return lost


# A crash may leave a half-written copy, and a file that was not put down yet.
OK_AFTER = ("leftover", "unknown")


def is_there(book: Casebook, what: str, value: str, acked: list[str]) -> bool:
    names = {client.name for client in book.clients()}
    if what == "client":
        return bool(names & {"Otto", "Otto B"})
    if what == "plan":
        name = next(iter(names & {"Otto", "Otto B"}), "Ines")
        return len(book.programmes(name)) == 1 and name != "Ines"
    if what == "renamed":
        return value in names
    if what == "clip":
        return any(clip.digest == value and book.clip_path(clip).is_file() for clip in book.clips())
    if what == "consent":
        return len(book.record("Ines").consent) >= int(value)
    if what == "state":
        order = ["in_work", "done", "sent"]
        return order.index(book.clip(1).state) >= order.index(value)
    if what == "erased":
        left = [path for path in book.folder.rglob("*") if b"Ines" in os.fsencode(path)]
        return value not in names and not left
    return "Ines" in names and len(book.clips()) == 1


def killed(folder: Path, tiny: Path, script: str, arm: Callable[[], None]) -> dict[str, Any]:
    """Fork, run the script until it is killed, and look at what is left."""
    read, write = os.pipe()
    started = time.monotonic()
    pid = os.fork()
    if pid == 0:
        os.close(read)
        code = 0
        try:
            book = Casebook.open(folder)

            def clip(name: str) -> Path:
                return clip_file(folder.parent / "phone", name, "", tiny)

            def ack(line: str) -> None:
                os.write(write, f"{line}\n".encode())

            arm()
            SCRIPTS[script](book, ack, clip)
        except BaseException as error:
            os.write(write, f"error {error!r}\n".encode())
            code = 1
        os._exit(code)
    os.close(write)
    with os.fdopen(read) as pipe:
        acked = pipe.read().splitlines()
    _, status = os.waitpid(pid, 0)
    seconds = time.monotonic() - started
    return {
        "killed": os.WIFSIGNALED(status),
        "seconds": seconds,
        "acked": acked,
        "lost": holds(folder, acked),
    }


def lines_armed(at: int) -> Callable[[], None]:
    """Kill this process when the ``at``-th line of the casebook's own code is about to run."""
    left = at

    def trace(frame: FrameType, event: str, _: object) -> Any:
        nonlocal left
        if not frame.f_code.co_filename.startswith((ROOM, FILES)):
            return None
        if event == "line":
            left -= 1
            if left <= 0:
                os.kill(os.getpid(), signal.SIGKILL)
        return trace

    return lambda: sys.settrace(trace)


def time_armed(seconds: float) -> Callable[[], None]:
    """Have this process killed after a time, wherever it is then."""

    def arm() -> None:
        mine = os.getpid()
        if os.fork() == 0:
            time.sleep(seconds)
            os.kill(mine, signal.SIGKILL)
            os._exit(0)

    return arm


def fresh(folder: Path, template: Path) -> Path:
    if folder.parent.exists():
        shutil.rmtree(folder.parent)
    folder.parent.mkdir(parents=True)
    shutil.copytree(template, folder)
    return folder


def rounds(
    mode: str, folder: Path, tiny: Path, script: str, count: int
) -> Iterator[dict[str, Any]]:
    template = folder / "template"
    tiny.mkdir(parents=True, exist_ok=True)
    if not template.exists():
        with with_ines(template) as book:
            book.add(
                "Ines",
                [clip_file(folder / "phone", "zero.mp4", "", tiny)],
                received_at=noon(MONDAY),
            )
    work = folder / "work" / "book"
    if mode == "times":
        whole = killed(fresh(work, template), tiny, script, lambda: None)
        length = whole["seconds"]
        assert not whole["killed"] and not whole["lost"], whole
        chance = random.Random(script)
        for _ in range(count):
            yield killed(fresh(work, template), tiny, script, time_armed(chance.uniform(0, length)))
        return
    at = random.Random(script).randrange(1, count + 1)
    while True:
        told = killed(fresh(work, template), tiny, script, lines_armed(at))
        yield {"at": at, **told}
        if not told["killed"]:
            return
        at += count


def main() -> None:
    mode, folder, tiny, script, count = sys.argv[1:]
    for told in rounds(mode, Path(folder), Path(tiny), script, int(count)):
        print(json.dumps({"script": script, **told}), flush=True)


if __name__ == "__main__":
    main()
