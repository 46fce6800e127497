"""What ``cliptag method`` does: a published reference method, listed, explained or worked out."""

from __future__ import annotations

import textwrap
from argparse import Namespace
from dataclasses import asdict
from typing import Any, Final

import msgspec
import rich
from rich.table import Table

from cliptag.errors import MeasureError
from cliptag.measure import number_text, with_uncertainty
from cliptag.measure.filled import answer_of, fill_in
from cliptag.measure.published import GUIDE, METHODS, Form, Method, Outcome, Question, form_of
from cliptag.measure.published.form import Answer
from cliptag.measure.quantities import Quantity, quantities_of, telling_time
from cliptag.measuring import measured_review
from cliptag.printing import clock_words, print_json
from cliptag.review import load_review

_WIDTH: Final = 96
_KNOWN: Final = {
    "read": "Read in a text that prints it",
    "quoted": "Quoted by another text",
    "from memory": "From memory, to be compared with the source",
}


def method(options: Namespace) -> int:
    """List the methods, tell what one needs, or work it out."""
    if options.name is None:
        if options.answers or options.review or options.picture:
            raise MeasureError("Which method? Give its name first: see `cliptag method`.")
        _list(options.json)
        return 0
    form = form_of(options.name)
    if not options.answers and options.review is None and options.picture is None:
        _explain(form, options.json)
        return 0
    given: dict[str, Answer] = {}
    for name, word in options.answers:
        if name in given:
            raise MeasureError(f"{name} is given twice: keep one.")
        given[name] = form.question(name).read(word)
    measured = _measured(form, given, options)
    answers = {
        name: answer_of(form.question(name), quantity) for name, quantity in measured.items()
    }
    outcome = form.answer({**answers, **given})
    if options.picture is not None:
        _draw(outcome, options)
    if options.json:
        print_json(_facts(form, given, measured, outcome))
    else:
        _print(form, measured, outcome)
        if options.picture is not None:
            print(f"Wrote the picture to {options.picture}.")
    return 0


def _measured(form: Form, given: dict[str, Answer], options: Namespace) -> dict[str, Quantity]:
    if options.review is None:
        if options.at is not None:
            raise MeasureError("A time without a review says nothing: add --review REVIEW.")
        return {}
    review = load_review(options.review)
    measured = measured_review(review, options.review)
    at_us = telling_time(review, measured.report)
    if options.at is not None:
        at_us = round(1e6 * options.at)
        if at_us >= review.clip.duration_us:
            raise MeasureError(
                f"{options.at:g} s is past the end of the clip, which lasts "
                f"{clock_words(review.clip.duration_us)}: choose an earlier time."
            )
    return fill_in(form, given, quantities_of(review, measured.report, at_us))


def _draw(outcome: Outcome, options: Namespace) -> None:
    if outcome.lesson is None:
        raise MeasureError("Only the method lever-arm has a picture: leave --picture out.")
    # Loaded here because Qt takes its time.
    from cliptag.lesson import write_lesson

    write_lesson(outcome.lesson, options.picture, is_wide=options.landscape)


def _list(as_json: bool) -> None:
    if as_json:
        print_json({"methods": [asdict(one) for one in METHODS.values()], "caution": GUIDE})
        return
    table = Table(title="Published reference methods", title_justify="left")
    table.add_column("name", no_wrap=True)
    table.add_column("what it is")
    table.add_column("what it gives")
    for one in METHODS.values():
        table.add_row(one.key, one.name, one.gives)
    rich.print(table)
    print("What one needs: cliptag method NAME")
    print(GUIDE)


def _explain(form: Form, as_json: bool) -> None:
    if as_json:
        questions = [_question_facts(question) for question in form.questions]
        print_json({**asdict(form.method), "questions": questions, "caution": GUIDE})
        return
    print(f"{form.method.name}\n")
    print("It asks for, as KEY=VALUE:")
    longest = max(len(question.name) for question in form.questions)
    for question in form.questions:
        words = f"{question.words.rstrip('.')}: {question.allowed}"
        if not question.is_needed:
            words += f"; {_answer_words(question.default)} unless you say"
        if question.measured:
            words += "; can be measured (--review)"
        _say_in_column(f"  {question.name:<{longest}}  ", words)
    print()
    _say("It gives", form.method.gives)
    _print_source(form.method)
    print(GUIDE)


def _print(form: Form, measured: dict[str, Quantity], outcome: Outcome) -> None:
    print(f"{form.method.name}\n")
    for name, quantity in measured.items():
        value = with_uncertainty(quantity.estimate.value, quantity.estimate.sd, quantity.unit)
        print(f"  {name} = {value} (measured: {quantity.words})")
    if measured:
        print()
    for number in outcome.numbers:
        print(f"  {number_text(number)}")
    print()
    print(textwrap.fill(outcome.meaning, _WIDTH))
    print()
    _print_source(form.method)


def _print_source(method: Method) -> None:
    _say("Source", method.source)
    for what, how in method.known:
        _say(_KNOWN[how], what)
    for limit in method.limits:
        _say("Limit", limit)
    print(method.does_not_say)


def _say_in_column(start: str, words: str) -> None:
    print(textwrap.fill(words, _WIDTH, initial_indent=start, subsequent_indent=" " * len(start)))


def _say(what: str, words: str) -> None:
    print(textwrap.fill(f"{what}: {words}", _WIDTH, subsequent_indent="    "))


def _answer_words(answer: Answer | None) -> str:
    if answer is None:
        return ""
    if isinstance(answer, bool):
        return "yes" if answer else "no"
    if isinstance(answer, tuple):
        return ",".join(f"{one:g}" for one in answer)
    if isinstance(answer, int | str):
        return str(answer)
    return f"{answer.value:.4g}" + (f" ± {2 * answer.sd:.2g}" if answer.sd else "")


def _question_facts(question: Question) -> dict[str, Any]:
    return {
        "name": question.name,
        "words": question.words,
        "kind": question.kind,
        "unit": question.unit,
        "allowed": question.allowed,
        "choices": list(question.choices),
        "is_needed": question.is_needed,
        "usual": None if question.is_needed else _answer_words(question.default),
        "can_be_measured": bool(question.measured),
    }


def _facts(
    form: Form, given: dict[str, Answer], measured: dict[str, Quantity], outcome: Outcome
) -> dict[str, Any]:
    return {
        "method": form.method.key,
        "name": form.method.name,
        "given": {name: _plain(answer) for name, answer in given.items()},
        "measured": {name: asdict(quantity) for name, quantity in measured.items()},
        "numbers": [
            {**msgspec.structs.asdict(number), "text": number_text(number)}
            for number in outcome.numbers
        ],
        "meaning": outcome.meaning,
        "source": form.method.source,
        "known": [{"what": what, "how": how} for what, how in form.method.known],
        "limits": list(form.method.limits),
        "does_not_say": form.method.does_not_say,
        "caution": GUIDE,
    }


def _plain(answer: Answer) -> Any:
    if isinstance(answer, bool | int | str):
        return answer
    return list(answer) if isinstance(answer, tuple) else asdict(answer)
