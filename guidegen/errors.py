"""Messages to the person who wrote a file: what is wrong, where, and what to do."""

from __future__ import annotations

from pathlib import Path
from typing import Literal

from msgspec import Struct


class Mark(Struct, frozen=True):
    """A place in a file; line and column count from 1, 0 when unknown."""

    file: str = ""
    line: int = 0
    column: int = 0


class Finding(Struct, frozen=True):
    """One message about a description: an error stops printing, a warning is printed in the guide."""

    severity: Literal["error", "warning"]
    rule: str
    message: str
    hint: str = ""
    mark: Mark = Mark()


class GuidegenError(Exception):
    """A mistake that a user can mend; its text is a whole message for them."""

    exit_code = 1


class WrongUse(GuidegenError):  # noqa: N818 - named for what it tells
    """The command was told something that there is not."""

    exit_code = 2


class NothingToPrint(GuidegenError):  # noqa: N818 - named for what it says
    """A document would be empty; a pack goes without it."""


class PictureError(GuidegenError):
    """A picture cannot be printed; file: where it is."""

    def __init__(self, file: Path, message: str) -> None:
        super().__init__(message)
        self.file = file


class DescriptionError(GuidegenError):
    """The description cannot become a vehicle; carries one finding or more."""

    exit_code = 2

    def __init__(self, findings: tuple[Finding, ...]) -> None:
        super().__init__("\n".join(f.message for f in findings))
        self.findings = findings


class CheckError(GuidegenError):
    """The description was read, but its errors stop the printing; carries all findings."""

    exit_code = 1

    def __init__(self, findings: tuple[Finding, ...]) -> None:
        super().__init__("\n".join(f.message for f in findings if f.severity == "error"))
        self.findings = findings
