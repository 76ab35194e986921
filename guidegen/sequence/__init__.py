"""Sequences: which steps, in which order, with the shortest walk; and an independent check of them."""

from __future__ import annotations

from guidegen.sequence.helping import quick_help as quick_help
from guidegen.sequence.model import HelpEntry as HelpEntry
from guidegen.sequence.model import HelpHint as HelpHint
from guidegen.sequence.model import PlannedSequence as PlannedSequence
from guidegen.sequence.model import PlannedStep as PlannedStep
from guidegen.sequence.model import SequenceError as SequenceError
from guidegen.sequence.model import SequenceSet as SequenceSet
from guidegen.sequence.model import ShortHelp as ShortHelp
from guidegen.sequence.output import sequences_json as sequences_json
from guidegen.sequence.planning import Sequences as Sequences
from guidegen.sequence.planning import plan_sequences as plan_sequences
from guidegen.sequence.short_help import short_help as short_help
from guidegen.sequence.why import why as why
