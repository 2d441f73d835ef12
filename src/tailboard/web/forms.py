"""What the JSON interface takes and answers, as its description (OpenAPI) says it."""

from __future__ import annotations

import base64
import binascii
from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field

from tailboard.record.operations import (
    COUNT_MAX,
    MILLISECONDS_MAX,
    NAME_MAX,
    PHOTO_MAX_BYTES,
    REPLACES_MAX,
    SUBJECT_MAX,
    WORDS_MAX,
    Operation,
)  # fmt: skip

LIST_MAX = 200  # operations in one request
TEXT_MAX = 60_000
Name = Annotated[str, Field(max_length=NAME_MAX)]
Sum = Annotated[str, Field(pattern=r"^([0-9a-f]{8})?$")]


class Form(BaseModel):
    """Takes what it knows and nothing else."""

    model_config = ConfigDict(extra="forbid", strict=True)


class OperationForm(Form):
    """One operation; see the record's own words for each field. A picture comes in base64."""

    device: str = Field(pattern=r"^[a-z0-9]{8,16}$")
    count: int = Field(ge=1, le=COUNT_MAX)
    sort: Literal["tick", "comms", "measured"]
    subject: str = Field(min_length=1, max_length=SUBJECT_MAX)
    verdict: Literal["pass", "fault", "not there", "later", "heard", "not heard", "read"]
    value: Name = ""
    words: str = Field("", max_length=WORDS_MAX)
    photo: str = Field("", max_length=PHOTO_MAX_BYTES * 4 // 3 + 4)
    by: str = Field(min_length=1, max_length=NAME_MAX)
    at_ms: int = Field(ge=0, le=MILLISECONDS_MAX)
    plan_version: Name = ""
    plan_sum: Sum = ""
    row_sum: Sum = ""
    replaces: list[Annotated[str, Field(max_length=40)]] = Field(default=[], max_length=REPLACES_MAX)
    source: Literal["page", "paper", "typed"] = "page"

    def operation(self) -> Operation:
        """Return the operation; a picture that cannot be read becomes one that the record refuses."""
        told = self.model_dump()
        try:
            photo = base64.b64decode(self.photo, validate=True)
        except (binascii.Error, ValueError):
            photo = b"?"
        return Operation(**{**told, "photo": photo, "replaces": tuple(self.replaces)})


class OperationsForm(Form):
    """Operations that wait on a page, oldest first. Sending them twice does no harm."""

    operations: list[OperationForm] = Field(max_length=LIST_MAX)


class TokenForm(Form):
    """The token of the code that a phone scanned."""

    token: str = Field(max_length=100)


class CodeForm(Form):
    """The code for editing, as the terminal shows it."""

    code: str = Field(max_length=20)


class TextForm(Form):
    """Ticks that wait on a phone, as it shows them."""

    text: str = Field(max_length=TEXT_MAX)


class SessionAnswer(BaseModel):
    """Who this page is. `csrf` goes into the header `x-tailboard` of every request that changes something."""

    role: Literal["look", "tick", "edit"]
    csrf: str


class RefusedAnswer(BaseModel):
    """An operation that was not kept, and why. Sending it again does not help."""

    id: str
    why: str


class AddedAnswer(BaseModel):
    """Ids that are in the record now, on the disk; ids that were refused; the number of the last operation."""

    acknowledged: list[str]
    refused: list[RefusedAnswer]
    cursor: int


class TypedAnswer(AddedAnswer):
    """The same for a text; `faults` says what is wrong with which line."""

    faults: list[str]


class OperationsAnswer(BaseModel):
    """Operations in the order of the server. `more`: ask again from `cursor`."""

    cursor: int
    more: bool
    operations: list[dict[str, Any]]


class ProblemAnswer(BaseModel):
    """What went wrong (RFC 9457); `detail` is a sentence for the person at the page."""

    type: str
    title: str
    status: int
    detail: str
