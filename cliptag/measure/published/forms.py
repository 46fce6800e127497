"""The questions of every published method, by the method's key."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from cliptag.errors import MeasureError
from cliptag.measure.published import forms_lifting, forms_posture, forms_tests
from cliptag.measure.published.form import Form
from cliptag.measure.published.methods import METHODS

_EVERY: Final = {
    form.method.key: form
    for form in (*forms_lifting.FORMS, *forms_posture.FORMS, *forms_tests.FORMS)
}

FORMS: Final[Mapping[str, Form]] = MappingProxyType({key: _EVERY[key] for key in METHODS})
"""In the order of ``METHODS``."""


def form_of(name: str) -> Form:
    """A method's form by its key, written with '-' or '_'. Raises MeasureError for another name."""
    key = name.strip().lower().replace("_", "-")
    if key not in FORMS:
        raise MeasureError(f"There is no method called {name!r}: choose {', '.join(FORMS)}.")
    return FORMS[key]
