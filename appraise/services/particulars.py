"""The particulars of a case by section, and those of a claim, as the model declares them."""

from __future__ import annotations

from appraise.model.case import Case
from appraise.model.declaration import parts
from appraise.services.fields import Field, form

_FORMS: dict[str, tuple[str, tuple[Field, ...]]] = {
    path[0]: (one.form.label, form(one.type, *path))
    for path, one in parts(Case).items()
    if one.form is not None and not one.many
}

CLAIM: tuple[Field, ...] = _FORMS.pop("claim")[1]
"""What a claim after a move needs beside the two states."""

SECTIONS: tuple[tuple[str, tuple[Field, ...]], ...] = tuple(_FORMS.values())
"""The particulars, by section."""
