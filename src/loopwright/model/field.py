"""Types of fields: how the text of a value is read, its unit and its range.

Values arrive as text (from a file) or as int, Fraction and str (from Python). Faults are raised
as pydantic errors whose type is a code of the finding register.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from typing import Annotated, Any

from pydantic import BaseModel, ConfigDict, GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic_core import CoreSchema, PydanticCustomError, core_schema

from loopwright.exact import UNITS, QuantityError, format_quantity, parse_quantity

_CODES = {"number": "LW114", "unit": "LW115", "size": "LW116"}
_NUMBER_PATTERN = r"[+-]?([0-9]+ +)?[0-9]+(\.[0-9]+| */ *[0-9]+)?"
NAME_PATTERN = r"[A-Za-z][A-Za-z0-9_-]{0,39}"
LETTER_PATTERN = r"[A-Z0-9]{1,2}"


class Section(BaseModel):
    """Base of all parts of a project: frozen, and no key that is not declared."""

    model_config = ConfigDict(frozen=True, extra="forbid")


def fault(code: str, message: str, allowed: str, remedy: str | None = None) -> PydanticCustomError:
    """The pydantic error that `read` turns into a finding."""
    context = {"message": message, "allowed": allowed, "remedy": remedy}
    return PydanticCustomError(code, "{message}", context)


def shown(value: object) -> str:
    """A value as quoted in messages, shortened."""
    text = value if isinstance(value, str) else str(value)
    return repr(text if len(text) <= 40 else text[:37] + "...")


@dataclass(frozen=True, slots=True)
class Quantity:
    """An exact number with a unit: more than `above` or at least `least`, at most `most`.

    With `auto`, the word auto is let through as it is; with `none`, the word none becomes None.
    """

    unit: str = ""
    above: Fraction | None = None
    least: Fraction | None = None
    most: Fraction | None = None
    auto: bool = False
    none: bool = False

    @property
    def range_text(self) -> str:
        """The range in words, such as "more than 0 s, at most 10 s"."""
        parts = []
        if self.above is not None:
            parts.append(f"more than {self._with_unit(self.above)}")
        if self.least is not None:
            parts.append(f"at least {self._with_unit(self.least)}")
        if self.most is not None:
            parts.append(f"at most {self._with_unit(self.most)}")
        return ", ".join(parts)

    def read(self, value: object) -> Fraction | str | None:
        """The exact value in the base unit.

        Raises
        ------
        PydanticCustomError
            No quantity of this unit, or outside the range.
        """
        if self.auto and value == "auto":
            return "auto"
        if self.none and (value is None or value == "none"):
            return None
        try:
            number = parse_quantity(value, self.unit)
        except QuantityError as error:
            allowed = f"{self.word}, or {error.allowed}" if self.word else error.allowed
            raise fault(
                _CODES[error.about], error.problem, allowed, self._remedy(value, error)
            ) from None
        low = self.above is not None and number <= self.above
        low = low or (self.least is not None and number < self.least)
        if low or (self.most is not None and number > self.most):
            size = "small" if low else "large"
            raise fault("LW116", f"{shown(value)} is too {size}", self.range_text)
        return number

    def __get_pydantic_core_schema__(
        self, source: Any, handler: GetCoreSchemaHandler
    ) -> CoreSchema:
        return core_schema.no_info_plain_validator_function(
            self.read,
            serialization=core_schema.plain_serializer_function_ser_schema(
                self._write, when_used="json"
            ),
        )

    def __get_pydantic_json_schema__(
        self, schema: CoreSchema, handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        forms: list[dict[str, Any]] = [{"type": "string", "pattern": self.pattern}]
        if self.unit:
            forms.append({"const": 0})
        else:
            number: dict[str, Any] = {"type": "number"}
            for key, bound in (
                ("exclusiveMinimum", self.above),
                ("minimum", self.least),
                ("maximum", self.most),
            ):
                if bound is not None:
                    number[key] = int(bound)
            forms.append(number)
        if self.word:
            words = [self.word, None] if self.none else [self.word]
            forms.insert(0, {"enum": words})
        return {"anyOf": forms}

    @property
    def word(self) -> str:
        """The word that may stand instead of a number; empty where there is none."""
        return "auto" if self.auto else "none" if self.none else ""

    @property
    def pattern(self) -> str:
        """Regular expression of the texts that may be read."""
        spellings = sorted(UNITS[self.unit].factors)
        units = "|".join(re.escape(spelling).replace("/", " */ *") for spelling in spellings)
        return rf"^ *{_NUMBER_PATTERN} *({units}) *$"

    def _remedy(self, value: object, error: QuantityError) -> str | None:
        """Advice that fits the fault better than the standard remedy of its code."""
        if error.about == "number" and not self.unit:
            return "write a plain number"
        if error.about == "size":
            return "write a smaller number, or fewer digits"
        if error.about != "unit":
            return None
        if not self.unit:
            return "take the unit out"
        bare = str(value).strip()
        if not re.fullmatch(_NUMBER_PATTERN, bare):
            return None
        written = format_quantity(Fraction(0), self.unit).removeprefix("0")
        return f"write the unit too, perhaps '{bare}{written}'"

    def _with_unit(self, bound: Fraction) -> str:
        return format_quantity(bound, self.unit)

    def _write(self, value: Fraction | str | None) -> str | None:
        return format_quantity(value, self.unit) if isinstance(value, Fraction) else value


def quantity(
    unit: str = "",
    *,
    above: int | None = None,
    least: int | None = None,
    most: int | None = None,
    auto: bool = False,
    none: bool = False,
) -> Quantity:
    """Metadata for a field with an exact number in the base unit `unit`."""
    low, floor, top = (None if bound is None else Fraction(bound) for bound in (above, least, most))
    return Quantity(unit, low, floor, top, auto, none)


@dataclass(frozen=True, slots=True)
class Whole:
    """A whole number from `least` to `most` of `unit`; `word` (auto, none) may stand instead."""

    least: int
    most: int
    unit: str = ""
    word: str | None = None

    @property
    def range_text(self) -> str:
        """The range in words."""
        return f"{self.least} to {self.most}"

    def read(self, value: object) -> int | str | None:
        """The number; the word auto stays, the word none becomes None.

        Raises
        ------
        PydanticCustomError
            Not a whole number, or outside the range.
        """
        if self.word is not None and value == self.word:
            return self.word if self.word == "auto" else None
        if self.word == "none" and value is None:
            return None
        number = self._number(value)
        if not self.least <= number <= self.most:
            size = "small" if number < self.least else "large"
            raise fault("LW116", f"{shown(value)} is too {size}", self._allowed())
        return number

    def _number(self, value: object) -> int:
        if isinstance(value, int) and not isinstance(value, bool):
            return value
        if isinstance(value, str) and re.fullmatch(r"[+-]?[0-9]{1,15}", value.strip(" ")):
            return int(value)
        problem = f"{shown(value)} is not a whole number"
        raise fault("LW114", problem, self._allowed(), "write a whole number, without a unit")

    def _allowed(self) -> str:
        text = f"a whole number, {self.range_text}"
        return f"{text}, or {self.word}" if self.word else text

    def __get_pydantic_core_schema__(
        self, source: Any, handler: GetCoreSchemaHandler
    ) -> CoreSchema:
        return core_schema.no_info_plain_validator_function(self.read)

    def __get_pydantic_json_schema__(
        self, schema: CoreSchema, handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        form = {"type": "integer", "minimum": self.least, "maximum": self.most}
        words = [self.word, None] if self.word == "none" else [self.word]
        return {"anyOf": [{"enum": words}, form]} if self.word else form


def whole(least: int, most: int, unit: str = "", word: str | None = None) -> Whole:
    """Metadata for a field with a whole number."""
    return Whole(least, most, unit, word)


@dataclass(frozen=True, slots=True)
class Written:
    """A text: a whole match of `pattern` where there is one, up to `most` printing characters."""

    code: str
    allowed: str
    pattern: str = ""
    most: int = 80
    least: int = 0

    def read(self, value: object) -> str:
        """The text as it is.

        Raises
        ------
        PydanticCustomError
            Not a text, too long, or not of the pattern.
        """
        if not isinstance(value, str):
            raise fault(self.code, f"{shown(value)} is not a text", self.allowed)
        if self.pattern and not re.fullmatch(self.pattern, value):
            raise fault(self.code, f"{shown(value)} is not allowed here", self.allowed)
        if not self.least <= len(value) <= self.most:
            size = "long" if value else "short"
            raise fault(self.code, f"{shown(value)} is too {size}", self.allowed)
        if not all(character.isprintable() or character == "\n" for character in value):
            raise fault(self.code, f"{shown(value)} has a control character", self.allowed)
        return value

    def __get_pydantic_core_schema__(
        self, source: Any, handler: GetCoreSchemaHandler
    ) -> CoreSchema:
        return core_schema.no_info_plain_validator_function(self.read)

    def __get_pydantic_json_schema__(
        self, schema: CoreSchema, handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        form: dict[str, Any] = {"type": "string", "maxLength": self.most}
        if self.pattern:
            form["pattern"] = f"^{self.pattern}$"
        elif self.least:
            form["minLength"] = self.least
        return form


_NAME_TEXT = "a letter, then letters, digits, - and _, up to 40 in all"

Name = Annotated[str, Written("LW118", _NAME_TEXT, NAME_PATTERN, 40)]
Title = Annotated[str, Written("LW119", "one line of up to 80 characters", r"[^\n]*")]
Heading = Annotated[str, Written("LW119", "one line of 1 to 80 characters", r"[^\n]*", least=1)]
About = Annotated[str, Written("LW119", "a text of up to 2000 characters", most=2000)]
Letter = Annotated[
    str, Written("LW119", "1 or 2 of the characters A-Z and 0-9", f"({LETTER_PATTERN})?", 2)
]
