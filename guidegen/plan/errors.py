"""What the plan says when a sheet cannot hold it."""

from __future__ import annotations

from guidegen.errors import GuidegenError


class SheetTooSmallError(GuidegenError):
    """No scale fits all callouts on the sheet; the message names a sheet that would do."""
