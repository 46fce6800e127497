"""The command line: it only translates words into library calls and results into text."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Final, NoReturn

from cliptag import __version__
from cliptag.casebook_arguments import PURPOSES, add_casebook_verbs, add_many
from cliptag.errors import CliptagError
from cliptag.words import LANGUAGES

DONE, COULD_NOT, WRONG_USE = 0, 1, 2
VERBS: Final = (
    "demo",
    "inspect",
    "export",
    "cover",
    "guide",
    "measure",
    "method",
    "compare",
    "check",
    "casebook",
)


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command; gives the exit code: 0 done, 1 could not, 2 wrong use."""
    given = sys.argv[1:] if arguments is None else list(arguments)
    if not given or (len(given) == 1 and _is_file(given[0])) or _are_two_reviews(given):
        return _run(lambda: _desk(given))
    parser = _parser()
    options = parser.parse_args(_words_first(given) if given[0] == "method" else given)
    if not hasattr(options, "verb"):
        parser.print_help()
        return WRONG_USE
    if options.verb == "export" and not _names_what_to_export(options):
        parser.error("export needs a REVIEW and --out DIR, or else --all-due")
    return _run(lambda: _verb_of(options))


def _is_file(word: str) -> bool:
    """Whether a lone word is a file to open rather than a verb, mistyped or not."""
    if word.startswith("-") or word in VERBS:
        return False
    return bool(Path(word).suffix) or Path(word).exists()


def _are_two_reviews(words: Sequence[str]) -> bool:
    """Whether two reviews are named, and nothing else: they are compared on the desk."""
    return len(words) == 2 and all(word.endswith(".review.json") for word in words)


def _names_what_to_export(options: argparse.Namespace) -> bool:
    """Argparse has no words for: either one review and where to, or all that are due."""
    given = [value is not None for value in (options.review, options.out)]
    return not any(given) if options.all_due else all(given)


def _words_first(given: list[str]) -> list[str]:
    """The words before the options: argparse takes them only where they stand together."""
    words, options = given[:1], []
    rest = iter(given[1:])
    for word in rest:
        if not word.startswith("-"):
            words.append(word)
            continue
        options.append(word)
        if word in ("--review", "--at", "--picture"):
            options += [value for value in [next(rest, None)] if value is not None]
    return words + options


# Loaded on use so that `cliptag --help` and a mistyped word answer at once.
def _desk(given: list[str]) -> int:
    from cliptag.desk import run_desk

    return run_desk(*map(Path, given))


def _verb_of(options: argparse.Namespace) -> int:
    if options.verb == "casebook":  # needs little of what the others load
        from cliptag.casebook_verbs import casebook

        return casebook(options)
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
    inspect.add_argument(
        "--intake",
        action="store_true",
        help="tell whether it is good enough to measure from, and what to ask the client for",
    )
    inspect.add_argument(
        "--language", choices=LANGUAGES, default="en", help="that of what to ask (en)"
    )
    _add_json(inspect)

    export = _verb(
        verbs,
        "export",
        "write the take-home of a review",
        "cliptag export ines.review.json --out for-ines",
    )
    export.add_argument("review", nargs="?", type=Path, metavar="REVIEW")
    export.add_argument("--out", type=Path, metavar="DIR")
    export.add_argument(
        "--all-due",
        action="store_true",
        help="instead of one review: every one in the casebook that is done",
    )
    add_many(export)
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
        "--for",
        dest="purpose",
        choices=("messenger", "home", "archive"),
        help="make the video a size that is told beforehand: for a messenger, for the home screen "
        "or for the archive",
    )
    export.add_argument(
        "--mb",
        type=float,
        default=16.0,
        metavar="MB",
        help="how large a messenger's video may be at most (16)",
    )
    export.add_argument(
        "--clean",
        action="store_true",
        help="also write clean.mp4: marks but no captions on the picture, captions as a track",
    )
    export.add_argument(
        "--language",
        choices=LANGUAGES,
        help="that of all words but the coach's own (default: the review's, else en)",
    )
    _add_shown_for(export)
    export.add_argument(
        "--solid", action="store_true", help="cover with one tone instead of soft patches"
    )
    export.add_argument("--mute", action="store_true", help="leave out the clip's own sound")
    _add_json(export)

    _add_cover(verbs)
    _add_guide(verbs)

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

    method = _verb(
        verbs,
        "method",
        "list the published reference methods, or work one out",
        "cliptag method reba --review ines.review.json neck_deg=20 wrist_deg=10 load='over 10 kg'",
    )
    method.add_argument("name", nargs="?", metavar="NAME", help="without it, all are listed")
    method.add_argument(
        "answers",
        nargs="*",
        type=_answer,
        metavar="KEY=VALUE",
        help="what the method asks for; a number may have its uncertainty, such as 48±4",
    )
    method.add_argument(
        "--review", type=Path, metavar="REVIEW", help="fill in what this review has measured"
    )
    method.add_argument(
        "--at",
        type=_seconds,
        metavar="SECONDS",
        help="take it from this time of the clip (default: where the movement tells most)",
    )
    method.add_argument(
        "--picture", type=Path, metavar="FILE.png", help="draw the lesson (lever-arm only)"
    )
    method.add_argument(
        "--landscape", action="store_true", help="draw it wide instead of tall for a phone"
    )
    _add_json(method)

    _add_compare(verbs)

    check = _verb(
        verbs, "check", "tell whether a WebVTT file is sound and readable", "cliptag check a.vtt"
    )
    check.add_argument("file", type=Path, metavar="FILE")
    check.add_argument("--chapters", action="store_true", help="FILE holds chapters, not captions")
    _add_json(check)

    casebook = _verb(
        verbs,
        "casebook",
        "keep clients, their consent, their weeks and clips",
        "cliptag casebook day",
    )
    add_casebook_verbs(casebook)
    return parser


def _verb(
    verbs: argparse._SubParsersAction[_Parser], name: str, does: str, example: str
) -> argparse.ArgumentParser:
    parser = verbs.add_parser(
        name, help=does, description=f"{does.capitalize()}.", epilog=f"Example: {example}"
    )
    parser.set_defaults(verb=name)
    return parser


def _add_cover(verbs: argparse._SubParsersAction[_Parser]) -> None:
    cover = _verb(
        verbs,
        "cover",
        "tell on which frames of a review's clip a face may be open when faces are covered",
        "cliptag cover ines.review.json --pictures look-at-these",
    )
    cover.add_argument("review", type=Path, metavar="REVIEW")
    cover.add_argument("--check", action="store_true", help="exit with 1 while there are any")
    cover.add_argument(
        "--pictures", type=Path, metavar="DIR", help="write those frames, as covered, to DIR"
    )
    cover.add_argument(
        "--fine",
        type=_stretch,
        action="append",
        default=[],
        metavar="START-END",
        help="tell that you looked at these seconds and no face is open, such as 2.4-3.1",
    )
    _add_json(cover)


def _add_guide(verbs: argparse._SubParsersAction[_Parser]) -> None:
    guide = _verb(
        verbs,
        "guide",
        "write the guide that tells a client how to film, as a page and a sheet",
        "cliptag guide --language de --client Ines --movement sit_to_stand --out for-ines",
    )
    guide.add_argument("--out", type=Path, required=True, metavar="DIR")
    guide.add_argument("--language", choices=LANGUAGES, default="en", help="the client's (en)")
    guide.add_argument("--client", default="", metavar="NAME", help="whom it greets")
    guide.add_argument(
        "--movement",
        choices=("sit_to_stand", "bend", "lift", "sitting", "standing", "other"),
        default="other",
        help="what shall be filmed",
    )
    _add_json(guide)


def _add_compare(verbs: argparse._SubParsersAction[_Parser]) -> None:
    compare = _verb(
        verbs,
        "compare",
        "set two reviews side by side and tell what changed",
        "cliptag compare week01.review.json week10.review.json --out ines --goal "
        "peak_trunk_lean=less",
    )
    compare.add_argument(
        "reviews",
        type=Path,
        nargs="+",
        metavar="REVIEW",
        help="two or more, earliest first (more than two give a trend too); or one "
        "NAME.pairing.json",
    )
    compare.add_argument(
        "--out", type=Path, metavar="DIR", help="write video and summary; without it, only tell"
    )
    compare.add_argument(
        "--layout",
        choices=("side", "above", "over"),
        help="beside each other, one above the other for a phone, or see-through over each other",
    )
    compare.add_argument(
        "--language",
        choices=LANGUAGES,
        help="that of all words but the coach's own (default: the last review's, else en)",
    )
    compare.add_argument(
        "--by",
        choices=("moments", "true-speed"),
        help="match each moment, or let both run as filmed (default: moments)",
    )
    compare.add_argument(
        "--from",
        dest="from_moment",
        metavar="MOMENT",
        help="true speed, together at this moment, such as seat_off",
    )
    compare.add_argument(
        "--mirror", choices=("auto", "yes", "no"), help="mirror the second (default: auto)"
    )
    compare.add_argument(
        "--goal",
        type=_goal,
        action="append",
        metavar="NAME=less|more",
        help="which way a number should go; without one nothing is called a gain",
    )
    _add_shown_for(compare)
    compare.add_argument(
        "--save", type=Path, metavar="FILE", help="keep these choices in FILE.pairing.json"
    )
    _add_json(compare)


def _goal(word: str) -> tuple[str, str]:
    name, _, way = word.partition("=")
    if not name or way not in ("less", "more"):
        raise argparse.ArgumentTypeError(
            f"{word!r} is no goal: give NAME=less or NAME=more, such as peak_trunk_lean=less"
        )
    return name.strip(), way


def _answer(word: str) -> tuple[str, str]:
    name, sign, value = word.partition("=")
    if not (name and sign and value):
        raise argparse.ArgumentTypeError(f"{word!r} is no answer: give KEY=VALUE, such as age=62")
    return name.strip(), value


def _seconds(word: str) -> float:
    try:
        value = float(word)
    except ValueError:
        value = -1.0
    if not 0.0 <= value < 1e6:
        raise argparse.ArgumentTypeError(f"{word} is no time: give seconds, such as 2.5")
    return value


def _stretch(word: str) -> tuple[int, int]:
    """Microseconds from seconds; what was rounded to tenths for a person is taken generously."""
    start, _, end = word.partition("-")
    try:
        first, last = float(start), float(end)
    except ValueError:
        first, last = 0.0, -1.0
    if not 0.0 <= first <= last < 1e6:
        raise argparse.ArgumentTypeError(f"{word} is no stretch: give seconds, such as 2.4-3.1")
    return max(0, round((first - 0.05) * 1e6)), round((last + 0.05) * 1e6)


def _frequency(word: str) -> float:
    try:
        value = float(word)
    except ValueError:
        value = -1.0
    if not 0.0 < value <= 1000.0:
        raise argparse.ArgumentTypeError(f"{word} is no cut-off: give hertz, such as 6")
    return value


def _add_shown_for(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--shown-for",
        choices=PURPOSES,
        default=PURPOSES[0],
        help="what the client must have agreed to (private_feedback); face_covered covers faces",
    )


def _add_json(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--json", action="store_true", help="print facts as JSON")


if __name__ == "__main__":
    sys.exit(main())
