"""The command line: it only translates words into library calls and results into text."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Final, NoReturn

from cliptag import __version__
from cliptag.errors import CliptagError
from cliptag.words import LANGUAGES

DONE, COULD_NOT, WRONG_USE = 0, 1, 2
VERBS: Final = ("demo", "inspect", "export", "measure", "check")


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command; gives the exit code: 0 done, 1 could not, 2 wrong use."""
    given = sys.argv[1:] if arguments is None else list(arguments)
    if not given or (len(given) == 1 and _is_file(given[0])):
        return _run(lambda: _desk(given))
    options = _parser().parse_args(given)
    if not hasattr(options, "verb"):
        _parser().print_help()
        return WRONG_USE
    return _run(lambda: _verb_of(options))


def _is_file(word: str) -> bool:
    """Whether a lone word is a file to open rather than a verb, mistyped or not."""
    if word.startswith("-") or word in VERBS:
        return False
    return bool(Path(word).suffix) or Path(word).exists()


# Loaded on use so that `cliptag --help` and a mistyped word answer at once.
def _desk(given: list[str]) -> int:
    from cliptag.desk import run_desk

    return run_desk(Path(given[0]) if given else None)


def _verb_of(options: argparse.Namespace) -> int:
    from cliptag import verbs

    return int(getattr(verbs, options.verb)(options))


def _run(act: Callable[[], int]) -> int:
    try:
        return act()
    except CliptagError as error:
        return _say(str(error))
    except KeyboardInterrupt:
        return _say("Stopped; nothing was left half-written.")
    except BrokenPipeError:
        sys.stderr.close()  # the reader of a pipe went away, as `| head` does
        return COULD_NOT
    except Exception:
        from cliptag.bug_log import log_bug

        return _say(log_bug())


def _say(sentence: str) -> int:
    print(f"cliptag: {sentence}", file=sys.stderr)
    return COULD_NOT


class _Parser(argparse.ArgumentParser):
    def error(self, message: str) -> NoReturn:
        self.exit(WRONG_USE, f"cliptag: {message} (see {self.prog} --help)\n")


def _parser() -> argparse.ArgumentParser:
    parser = _Parser(
        prog="cliptag",
        usage="%(prog)s [FILE]   or   %(prog)s VERB ...",
        description=(
            "Review a client's movement clip and send back an annotated, captioned video. "
            "Alone, or with a clip, photo or review, it opens the desk."
        ),
        epilog="Coaching is not medical diagnosis: whoever feels pain stops and sees a clinician.",
    )
    parser.add_argument("--version", action="version", version=f"cliptag {__version__}")
    verbs = parser.add_subparsers(title="what it can do", metavar="VERB", prog=parser.prog)

    demo = _verb(verbs, "demo", "make the take-home of the demo clip", "cliptag demo --out try")
    demo.add_argument("--out", type=Path, default=Path("take-home"), metavar="DIR")
    _add_json(demo)

    inspect = _verb(
        verbs, "inspect", "tell what a clip is and what to be careful of", "cliptag inspect a.mov"
    )
    inspect.add_argument("clip", type=Path, metavar="CLIP")
    inspect.add_argument("--frames", action="store_true", help="list the time of every frame")
    _add_json(inspect)

    export = _verb(
        verbs,
        "export",
        "write the take-home of a review",
        "cliptag export ines.review.json --out for-ines",
    )
    export.add_argument("review", type=Path, metavar="REVIEW")
    export.add_argument("--out", type=Path, required=True, metavar="DIR")
    export.add_argument(
        "--source-time",
        action="store_true",
        help="also write the captions in the clip's own time (commentary.source.vtt)",
    )
    export.add_argument(
        "--full-size",
        action="store_true",
        help="keep a picture that is larger than a phone shows (above 1920 pixels)",
    )
    export.add_argument(
        "--language",
        choices=LANGUAGES,
        help="that of all words but the coach's own (default: the review's, else en)",
    )
    _add_json(export)

    measure = _verb(
        verbs,
        "measure",
        "print every measured number with its uncertainty",
        "cliptag measure ines.review.json --csv numbers.csv",
    )
    measure.add_argument("review", type=Path, metavar="REVIEW")
    measure.add_argument(
        "--csv",
        type=Path,
        metavar="FILE",
        help="write the numbers to FILE, and curves beside it (FILE without .csv, .curves.csv)",
    )
    measure.add_argument(
        "--trc", type=Path, metavar="FILE", help="write the followed points to FILE, in mm"
    )
    measure.add_argument(
        "--cutoff",
        type=_frequency,
        metavar="HZ",
        help="smooth the points at HZ instead of the review's or the clip's own cut-off",
    )
    measure.add_argument(
        "--velocity", action="store_true", help="also tell how fast each angle changes at most"
    )
    _add_json(measure)

    check = _verb(
        verbs, "check", "tell whether a WebVTT file is sound and readable", "cliptag check a.vtt"
    )
    check.add_argument("file", type=Path, metavar="FILE")
    check.add_argument("--chapters", action="store_true", help="FILE holds chapters, not captions")
    _add_json(check)
    return parser


def _verb(
    verbs: argparse._SubParsersAction[_Parser], name: str, does: str, example: str
) -> argparse.ArgumentParser:
    parser = verbs.add_parser(
        name, help=does, description=f"{does.capitalize()}.", epilog=f"Example: {example}"
    )
    parser.set_defaults(verb=name)
    return parser


def _frequency(word: str) -> float:
    try:
        value = float(word)
    except ValueError:
        value = -1.0
    if not 0.0 < value <= 1000.0:
        raise argparse.ArgumentTypeError(f"{word} is no cut-off: give hertz, such as 6")
    return value


def _add_json(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--json", action="store_true", help="print facts as JSON")


if __name__ == "__main__":
    sys.exit(main())
