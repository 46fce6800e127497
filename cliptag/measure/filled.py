"""A method's questions, filled in from what is measured."""

from __future__ import annotations

from collections.abc import Mapping

from cliptag.errors import MeasureError
from cliptag.measure.geometry import Estimate
from cliptag.measure.published.form import Answer, Form, Question, measured_from
from cliptag.measure.quantities import Quantity


def fill_in(
    form: Form, given: Mapping[str, Answer], quantities: Mapping[str, Quantity]
) -> dict[str, Quantity]:
    """For each question that isn't answered yet, the measured quantity that answers it, if any.

    A measured number that the method doesn't allow is left out: the person is asked then.
    """
    found = {}
    for question in form.questions:
        quantity = quantities.get(measured_from(question, given))
        if question.name not in given and quantity is not None and _fits(question, quantity):
            found[question.name] = quantity
    return found


def answer_of(question: Question, quantity: Quantity) -> Answer:
    """A measured quantity as an answer. Raises MeasureError where the method doesn't allow it."""
    value = quantity.estimate
    if question.kind == "count":
        return question.checked(round(value.value))
    return question.checked(Estimate(value.value, value.sd))


def _fits(question: Question, quantity: Quantity) -> bool:
    try:
        answer_of(question, quantity)
    except MeasureError:
        return False
    return True
