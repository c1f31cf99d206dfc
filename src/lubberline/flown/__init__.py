"""What was flown: phases, movements, findings."""

from lubberline.flown.case import at_utc, clock
from lubberline.flown.channels import fuel_columns
from lubberline.flown.corrections_file import read_corrections
from lubberline.flown.debrief import debrief
from lubberline.flown.engine import EngineTrace, engine_traces
from lubberline.flown.in_order import Span, in_order
from lubberline.flown.logbook import (
    LogbookRow,
    farthest_landing_nm,
    is_elsewhere,
    logbook_row,
    logbook_words,
)
from lubberline.flown.measures import NO_AIMS, Aims
from lubberline.flown.model import (
    Change,
    Flown,
    FlownTrack,
    HeldSpan,
    Maneuver,
    Measured,
    Movement,
    Phase,
    Statistic,
    Steadiness,
    WindMet,
)
from lubberline.flown.own_mark import (
    MARK_MEANS,
    MARK_WORDS,
    MARKED_PHASES,
    MARKS_FILE,
    MarkBeside,
    MarkedPhase,
    MarkWord,
    OwnMark,
    add_marks,
    beside,
    read_marks,
)
from lubberline.flown.standard import Standard, Tolerance
from lubberline.flown.standard_file import read_standard
from lubberline.flown.strip import Strip, published_strip
from lubberline.flown.summary import Summary, three_sentences
from lubberline.flown.winds_met import wind_words

__all__ = [
    "MARKED_PHASES",
    "MARKS_FILE",
    "MARK_MEANS",
    "MARK_WORDS",
    "NO_AIMS",
    "Aims",
    "Change",
    "EngineTrace",
    "Flown",
    "FlownTrack",
    "HeldSpan",
    "LogbookRow",
    "Maneuver",
    "MarkBeside",
    "MarkWord",
    "MarkedPhase",
    "Measured",
    "Movement",
    "OwnMark",
    "Phase",
    "Span",
    "Standard",
    "Statistic",
    "Steadiness",
    "Strip",
    "Summary",
    "Tolerance",
    "WindMet",
    "add_marks",
    "at_utc",
    "beside",
    "clock",
    "debrief",
    "engine_traces",
    "farthest_landing_nm",
    "fuel_columns",
    "in_order",
    "is_elsewhere",
    "logbook_row",
    "logbook_words",
    "published_strip",
    "read_corrections",
    "read_marks",
    "read_standard",
    "three_sentences",
    "wind_words",
]
