"""Ways from one aerodrome to another: evaluated, checked, compared."""

from lubberline.ways.airspace import is_permitted, need_of
from lubberline.ways.answer import answer_record, way_record
from lubberline.ways.audible import Audible, Station, audible_from, radio_horizon_nm
from lubberline.ways.call import Call
from lubberline.ways.calls import audible_along, radio_calls
from lubberline.ways.checker import check
from lubberline.ways.compare import all_ways
from lubberline.ways.evaluate import evaluate
from lubberline.ways.from_plan import evaluate_candidates, evaluate_plan, problem_from_plan
from lubberline.ways.model import (
    CheckReport,
    Encounter,
    ImpossibleWay,
    Leg,
    Spot,
    Violation,
    Way,
)
from lubberline.ways.problem import Margins, Motion, Rules, WayEnd, WaysProblem
from lubberline.ways.problem_file import read_problem
from lubberline.ways.section import Cut, Section, cut_along
from lubberline.ways.spoken import spoken_call_sign, spoken_figures, spoken_height

__all__ = [
    "Audible",
    "Call",
    "CheckReport",
    "Cut",
    "Encounter",
    "ImpossibleWay",
    "Leg",
    "Margins",
    "Motion",
    "Rules",
    "Section",
    "Spot",
    "Station",
    "Violation",
    "Way",
    "WayEnd",
    "WaysProblem",
    "all_ways",
    "answer_record",
    "audible_along",
    "audible_from",
    "check",
    "cut_along",
    "evaluate",
    "evaluate_candidates",
    "evaluate_plan",
    "is_permitted",
    "need_of",
    "problem_from_plan",
    "radio_calls",
    "radio_horizon_nm",
    "read_problem",
    "spoken_call_sign",
    "spoken_figures",
    "spoken_height",
    "way_record",
]
