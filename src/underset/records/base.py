"""What all records share: frozen, closed against unknown fields, every dimension with its unit."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Annotated, Any, ClassVar

from pydantic import BaseModel, ConfigDict, Field, GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic_core import PydanticCustomError, core_schema

from underset.errors import InputError, said
from underset.sources import SourceKind
from underset.units import (
    ABSENT,
    EXAMPLES,
    NOT_GIVEN,
    UNITS,
    Absent,
    NotGiven,
    Quantity,
    parse_quantity,
    si_unit,
    write_quantity,
)

LONGEST_REASON = 200


class Record(BaseModel):
    """Frozen record, compared by content; unknown fields are refused."""

    model_config: ClassVar[ConfigDict] = ConfigDict(
        frozen=True,
        extra="forbid",
        validate_default=False,
        arbitrary_types_allowed=True,
        defer_build=True,
    )


class Dimension:
    """Pydantic marker: a quantity of one kind, with its sign rule and what else may stand there."""

    def __init__(
        self, kind: str, sign: str = "any", *, not_given: bool = False, absent: bool = False
    ) -> None:
        self.kind, self.sign = kind, sign
        self.not_given, self.absent = not_given, absent

    def __get_pydantic_core_schema__(
        self, source: Any, handler: GetCoreSchemaHandler
    ) -> core_schema.CoreSchema:
        return core_schema.no_info_plain_validator_function(
            self._read,
            serialization=core_schema.plain_serializer_function_ser_schema(write_quantity),
        )

    def __get_pydantic_json_schema__(
        self, schema: core_schema.CoreSchema, handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        return self.schema()

    def schema(self) -> dict[str, Any]:
        """JSON Schema of what may be written here."""
        words = [w for w, on in (("not given", self.not_given), ("none", self.absent)) if on]
        also = "".join(f', or "{w}"' for w in words)
        told = f"{self.kind} ({self.sign}) with its unit, such as {EXAMPLES[self.kind]}{also}"
        text = {"type": "string", "pattern": self.pattern()}
        with_source = {
            "type": "object",
            "properties": {"value": dict(text), "source": {"type": "string"}},
            "required": ["value"],
            "additionalProperties": False,
        }
        return {"description": told, "anyOf": [text, with_source]}

    def pattern(self) -> str:
        """Regular expression of what may be written here: a bare number does not match."""
        number = r"[0-9]+(\.[0-9]+)?([eE][-+]?[0-9]+)?"
        units = "|".join(unit for unit, (kind, _) in UNITS.items() if kind == self.kind)
        value = ("[-+]?" if self.sign == "any" else r"\+?") + number
        # The unit may follow the value, the tolerance or both.
        first = rf"{value}\s*({units})\s*((±|\+/-)\s*{number}\s*({units})?\s*)?"
        last = rf"{value}\s*(±|\+/-)\s*{number}\s*({units})\s*"
        words = ["[Nn]ot [Gg]iven(:.*)?"] * self.not_given + ["[Nn]one"] * self.absent
        return rf"^\s*({'|'.join([first, last, *words])})\s*$"

    def _read(self, value: Any) -> Quantity | NotGiven | Absent:
        if isinstance(value, Quantity):
            return self._same_kind(value)
        if isinstance(value, NotGiven) and self.not_given:
            return value
        if isinstance(value, Absent) and self.absent:
            return value
        if isinstance(value, dict):
            return self._with_source(value)
        if isinstance(value, str):
            word = self._word(value)
            if word is not None:
                return word
        try:
            return self._signed(parse_quantity(value, self.kind), value)
        except InputError as error:
            raise _complaint(error.value, error.allowed, error.remedy) from error

    def _word(self, text: str) -> NotGiven | Absent | None:
        word, _, reason = text.strip().partition(":")
        if self.not_given and word.strip().lower() == "not given":
            reason = reason.strip()
            if len(reason) > LONGEST_REASON or not reason.isprintable():
                raise _complaint(
                    text,
                    said("a reason is plain text of at most {most} signs", most=LONGEST_REASON),
                )
            return NotGiven(reason) if reason else NOT_GIVEN
        return ABSENT if self.absent and text.strip().lower() == "none" else None

    def _with_source(self, value: dict[str, Any]) -> Quantity | NotGiven | Absent:
        source = value.get("source", "")
        if set(value) - {"value", "source"} or "value" not in value or not isinstance(source, str):
            raise _complaint(value, "a table here has the keys value and source, no others")
        if isinstance(value["value"], dict):
            raise _complaint(value, "the value of such a table is a text with its unit")
        read = self._read(value["value"])
        return replace(read, source=source) if isinstance(read, Quantity) else read

    def _same_kind(self, q: Quantity) -> Quantity:
        if q.unit and UNITS[q.unit][0] != self.kind:
            raise _complaint(
                q.text,
                said(
                    "a {kind} is wanted here, such as {example}",
                    kind=self.kind,
                    example=EXAMPLES[self.kind],
                ),
            )
        if not q.text:
            q = replace(self._written(q), source=q.source)
        return self._signed(q, q.text)

    def _written(self, q: Quantity) -> Quantity:
        unit = _WRITTEN_IN.get(self.kind) or si_unit(self.kind)
        factor = UNITS[unit][1]
        tolerance = f" ± {q.tol / factor!r}" if q.tol else ""
        return parse_quantity(f"{q.value / factor!r}{tolerance} {unit}", self.kind)

    def _signed(self, q: Quantity, shown: object) -> Quantity:
        if self.sign == "positive" and q.value <= 0.0:
            raise _complaint(shown, "this figure is greater than zero")
        if self.sign == "zero or more" and q.value < 0.0:
            raise _complaint(shown, "this figure is not negative")
        return q


_WRITTEN_IN = {"share": "%", "duration": "h"}  # kinds whose SI unit nobody writes


def _complaint(value: object, allowed: str, remedy: str = "") -> PydanticCustomError:
    return PydanticCustomError(
        "underset", "{allowed}", {"value": value, "allowed": allowed, "remedy": remedy}
    )


Length = Annotated[Quantity, Dimension("length", "positive")]
Height = Annotated[Quantity, Dimension("length", "zero or more")]
Place = Annotated[Quantity, Dimension("length", "any")]
Mass = Annotated[Quantity, Dimension("mass", "positive")]
Force = Annotated[Quantity, Dimension("force", "positive")]
Angle = Annotated[Quantity, Dimension("angle", "any")]
Opening = Annotated[Quantity, Dimension("angle", "positive")]
Share = Annotated[Quantity, Dimension("share", "zero or more")]
Duration = Annotated[Quantity, Dimension("duration", "positive")]

MaybeLength = Annotated[Quantity | NotGiven, Dimension("length", "positive", not_given=True)]
MaybeHeight = Annotated[Quantity | NotGiven, Dimension("length", "zero or more", not_given=True)]
MaybePlace = Annotated[Quantity | NotGiven, Dimension("length", "any", not_given=True)]
MaybeMass = Annotated[Quantity | NotGiven, Dimension("mass", "positive", not_given=True)]
MaybeForce = Annotated[Quantity | NotGiven, Dimension("force", "positive", not_given=True)]
MaybeAngle = Annotated[Quantity | NotGiven, Dimension("angle", "any", not_given=True)]
MaybeSpeed = Annotated[Quantity | NotGiven, Dimension("speed", "positive", not_given=True)]
MaybeShare = Annotated[Quantity | NotGiven, Dimension("share", "zero or more", not_given=True)]
MaybeTwist = Annotated[Quantity | NotGiven, Dimension("twist", "positive", not_given=True)]
LengthOrNone = Annotated[
    Quantity | NotGiven | Absent,
    Dimension("length", "positive", not_given=True, absent=True),
]

MaybeDate = date | None
Name = Annotated[str, Field(pattern=r"^[a-z0-9][a-z0-9-]{0,62}$")]
Label = Annotated[str, Field(min_length=1, max_length=120)]
Note = Annotated[str, Field(max_length=600)]


class Source(Record):
    """Where figures of one record come from."""

    kind: SourceKind
    document: Label
    by: str = ""
    date: MaybeDate = None
    edition: str = ""
    page: str = ""
    seen: bool = True

    def __str__(self) -> str:
        parts = [self.document, self.edition, self.page, self.by]
        text = ", ".join(p for p in parts if p)
        when = f", {self.date.isoformat()}" if self.date else ""
        memory = "" if self.seen and self.kind is not SourceKind.MEMORY else " (from memory)"
        return f"{self.kind.value}: {text}{when}{memory}"


class Sourced(Record):
    """A record whose figures name their source; `source` stands for those that name none."""

    label: Label
    invented: bool = False
    notes: Note = ""
    source: str = ""
    sources: dict[str, Source] = {}

    def source_of(self, figure: object) -> Source | None:
        """The source of one figure of this record, or None when nobody has said."""
        name = figure.source if isinstance(figure, Quantity) and figure.source else self.source
        return self.sources.get(name)
