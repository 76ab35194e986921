"""What became of one vehicle in a build."""

from __future__ import annotations

from pathlib import Path
from typing import Any, Literal

from msgspec import Struct

from guidegen.errors import Finding

Outcome = Literal["built", "up-to-date", "failed"]
EXIT_DONE, EXIT_FINDINGS, EXIT_UNREADABLE, EXIT_FAULT = 0, 1, 2, 3


class Report(Struct, frozen=True):
    """One vehicle's outcome; on a failure nothing of its pack was changed.

    `exit_code` is 0, or why it failed: 1 errors found, 2 unreadable or unwritable, 3 a fault of guidegen.
    """

    source: Path
    outcome: Outcome
    id: str = ""
    exit_code: int = EXIT_DONE
    message: str = ""
    findings: tuple[Finding, ...] = ()
    folder: Path | None = None
    written: tuple[str, ...] = ()
    kept: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    seconds: float = 0.0

    @property
    def failed(self) -> bool:
        return self.outcome == "failed"

    def to_record(self) -> dict[str, Any]:
        """The report as plain values for JSON; findings as in `guidegen check --json`."""
        from guidegen.messages import finding_record

        return {
            "source": str(self.source),
            "id": self.id,
            "outcome": self.outcome,
            "exit_code": self.exit_code,
            "message": self.message,
            "folder": str(self.folder) if self.folder else None,
            "written": list(self.written),
            "kept": list(self.kept),
            "notes": list(self.notes),
            "seconds": round(self.seconds, 3),
            "findings": [finding_record(finding) for finding in self.findings],
        }
