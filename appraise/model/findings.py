"""Findings on one instrument, record by record: a part of the case, frozen."""

from __future__ import annotations

from datetime import date
from enum import StrEnum
from typing import TYPE_CHECKING, Annotated

from appraise.model.claim import Exclusion, Finding, Origin, Peril, Stage
from appraise.model.lazy_dataclass import dataclass
from appraise.model.photo_mark import FORM
from appraise.model.plausible import CELSIUS, CENTS, HUMIDITY
from appraise.model.span import Span

if TYPE_CHECKING:
    from collections.abc import Sequence

    from appraise.model.declaration import (
        Chars,
        Digest,
        Form,
        HalfStep,
        Key,
        Measured,
        Name,
        NoteNumber,
        Number,
        Percent,
        PhotoPath,
        Quantity,
        Remarked,
        Row,
        Said,
        Some,
        Text,
    )


class Extent(StrEnum):
    """How far a renewal went."""

    RENEWED = "renewed"
    """Replaced or rebuilt: the component's age starts again."""
    REPAIRED = "repaired"
    """Mended: a share of the age is given back."""


@dataclass(frozen=True, slots=True)
class Renewal:
    """A dated event that replaced, rebuilt or mended components."""

    components: Annotated[tuple[Key, ...], Some(), "a list of components", Row("components"), Form("Components")]
    date: Annotated[Span | None, Form("When", "1998, 1998-05 or 1995/2001; leave empty to go by clues")] = None
    clues: Annotated[
        tuple[Key, ...], Row("dating_clues", "a row of the table dating_clues"), Form("Clues to its date")
    ] = ()
    """Used where no date is documented."""
    extent: Annotated[Extent, Form("Extent")] = Extent.RENEWED
    gives_back_pct: Annotated[Percent | None, Form("Gives back", "Share of the age a repair takes away")] = None
    """Share of the age that a repair gives back [%]; none: the table's usual share."""
    by: Annotated[Name, Form("Done by")] = ""
    evidence: Annotated[Text, Form("Evidence")] = ""
    note: Annotated[Text, Form("Note", long=True)] = ""


def in_time(renewals: Sequence[Renewal]) -> list[Renewal]:
    """Return renewals in the order of time; those without a date come last, as they were entered."""
    last = (date.max, date.max)
    return sorted(renewals, key=lambda one: last if one.date is None else (one.date.earliest, one.date.latest))


@dataclass(frozen=True, slots=True)
class Grade:
    """A grade given by the assessor, for one check or, overruling, for a whole component."""

    grade: Annotated[float, HalfStep(), "a grade from 1 to 5, in half steps"]
    """1 as new … 5 spent."""
    check: Key = ""
    component: Key = ""
    """Set instead of `check` when the derived grade is overruled."""
    reason: Text = ""
    preliminary: bool = False
    """Of a component, given at a quick look: it stands until a check of the component is made."""


@dataclass(frozen=True, slots=True)
class Reading:
    """Result of a check: a number with its unit, yes or no, or a text to record."""

    check: Annotated[Key, "a check of the table checks"]
    value: Annotated[float | bool | str, Measured(), "a number, true or false, or a text"]
    """Of a yes-or-no check true, false or "suspected"."""
    unit: Key = ""
    """Always the unit of the check's row: the store converts at the boundary."""
    note: int | None = None
    """Note 1–88 where the check is made note by note."""
    place: Name = ""
    remark: Text = ""
    probability_pct: Annotated[float | None, Number(0, 100, "%", low_open=True, high_open=True)] = None
    """Of a suspected fault, how likely it is there [%]; none: the table's."""

    @property
    def suspected(self) -> bool:
        """Tell whether a yes-or-no check was answered with suspected."""
        return self.value == Finding.SUSPECTED


@dataclass(frozen=True, slots=True)
class Remark:
    """A defect seen."""

    place: Annotated[
        Key,
        "a station or a component",
        Row("places", "a station or a component", fits=True),
        Form("Place", begins="case"),
    ]
    text: Annotated[Said, "what was seen", Form("What is seen", long=True, needed=False)]
    cause: Annotated[Text, Form("Cause")] = ""
    origin: Annotated[Origin, Form("Origin")] = Origin.UNKNOWN
    notes: Annotated[tuple[int, ...], Form("Notes concerned", "12, 40-44", after="share_reason")] = ()
    photos: Annotated[
        tuple[PhotoPath, ...],
        Row("photos"),
        Form("Photos", "Enter chooses from the folder of the case; each is hashed on entry", after="notes"),
    ] = ()
    """Paths relative to the case file; what is known of each stands in the case's own list."""
    earlier: Remarked | None = None
    """Which remark of the remembered earlier state this one goes on from."""
    worse: bool = False
    """It is worse than it was in the earlier state."""
    finding: Annotated[Finding, Form("Is it there")] = Finding.YES
    """Presence of the fault: seen, suspected, looked for in vain, or not seen."""
    probability_pct: Annotated[
        float | None,
        Number(0, 100, "%", low_open=True, high_open=True),
        Form("Likely", "Of a suspected fault; empty: the table's"),
    ] = None
    """Of a suspected fault, how likely it is there [%]; none: the table's."""
    check: Annotated[
        Key,
        Row("questions", "a yes-or-no check of the table checks"),
        Form("Suspected check", "That it would answer with yes"),
    ] = ""
    """Of a suspected fault, the yes-or-no check that it would answer with yes."""
    jobs: Annotated[
        tuple[Key, ...], Row("remedies", "a job of the table remedies"), Form("Jobs", "Where no grade calls for them")
    ] = ()
    """Jobs that repair it, where no grade or reading calls for them."""
    peril: Annotated[Peril | None, Form("Peril")] = None
    """Its cause; none: not stated."""
    stage: Annotated[Stage | None, Form("Stage")] = None
    """During which part of the carriage; none: not stated."""
    exclusion: Annotated[Exclusion | None, Form("Exclusion claimed")] = None
    """The exemption that an insurer or a carrier claims; none: nothing is claimed."""
    exclusion_for: Annotated[Text, Form("Sign for it", "As it was seen")] = ""
    """The sign for that exclusion that was seen."""
    exclusion_against: Annotated[Text, Form("Sign against it", "As it was seen")] = ""
    """The sign against it that was seen."""
    share_pct: Annotated[Percent | None, Form("Share of the move", "Empty: all of it")] = None
    """Share of this damage that is put down to the move [%]; none: all of it."""
    share_reason: Annotated[Text, Form("Why that share")] = ""

    @property
    def attributed_to(self) -> Origin:
        """The origin, with climate during the carriage counted as the carriage."""
        carried = self.stage in (Stage.HANDING_OVER, Stage.IN_TRANSIT, Stage.DELIVERY)
        return Origin.TRANSIT if self.origin is Origin.CLIMATE and carried else self.origin


@dataclass(frozen=True, slots=True)
class PhotoFile:
    """The record of a photo from its entry."""

    file: Annotated[PhotoPath, "the path of a photo, relative to the case file"]
    sha256: Digest = ""
    """Of its bytes."""
    taken: Annotated[
        str,
        Chars(
            0,
            r"^(?:\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(?:[+-]\d\d:\d\d)?)?$",
            "a date and time such as 2026-11-20T10:23:45+01:00",
        ),
    ] = ""
    """When the camera says that it was taken, ISO 8601, with the offset from UTC where it says so too."""
    caption: Text = ""
    checks: Annotated[tuple[Key, ...], Row("checks", "a check of the table checks")] = ()
    """The checks it shows."""
    whole: bool = False
    """It shows the instrument as a whole."""
    mark: Annotated[str, Chars(0, FORM), 'such as "circle 40 62": arrow or circle, per cent from the left and top'] = ""
    """An arrow or a circle drawn on it in documents, as `model.photo_mark` has it; the file itself stays as it is."""


@dataclass(frozen=True, slots=True)
class PitchReading:
    """One line of the pitch log: how far a note stood from its place on a day."""

    date: Annotated[date, "the day of the reading, as 2026-11-20", Form("Day")]
    note: Annotated[int, NoteNumber(), 'the note, 1 to 88, or its name: "A4"', Form("Note", "A4, C#3, Bb2 or a number")]
    cents: Annotated[
        float,
        Quantity("cents", *CENTS),
        "the deviation in cents, flat negative",
        Form("Deviation", "Flat negative; beats need their note: appraise measure beats"),
    ]
    """Deviation from equal temperament at the agreed pitch [cents]."""
    temperature: Annotated[float | None, Quantity("°C", *CELSIUS), Form("Air")] = None
    """Of the air beside the instrument [°C]."""
    humidity: Annotated[float | None, Quantity("%", *HUMIDITY), Form("Humidity")] = None
    """Relative humidity there [%]."""
    remark: Annotated[Text, Form("Remark", long=True)] = ""


@dataclass(frozen=True, slots=True)
class DryingClueSeen:
    """A clue to drying that the assessor looked for."""

    clue: Annotated[
        Key, "a row of the table drying_clues", Row("drying_clues", "a row of the table drying_clues"), Form("Clue")
    ]
    seen: Annotated[
        bool,
        "true, or false where it was looked for and is not there",
        Form("Seen", labels=(("yes", "seen"), ("no", "looked for, not there"))),
    ]
    remark: Annotated[Text, Form("Remark", long=True)] = ""


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A check that could not be made on this visit."""

    check: Annotated[Key, "a check of the table checks"]
    reason: Text = ""


@dataclass(frozen=True, slots=True)
class EffectiveAge:
    """An effective age stated by the assessor in place of the calculated one."""

    component: Annotated[Key, "a component"]
    years: Annotated[float, Number(0, 1000), "an age in years"]
    reason: Annotated[Said, "why the assessor states it"]
