"""Ways from one aerodrome to another: evaluated, checked, compared."""

from lubberline.ways.airspace import is_permitted, need_of
from lubberline.ways.answer import answer_record, way_record
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

__all__ = [
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
    "Violation",
    "Way",
    "WayEnd",
    "WaysProblem",
    "all_ways",
    "answer_record",
    "check",
    "cut_along",
    "evaluate",
    "evaluate_candidates",
    "evaluate_plan",
    "is_permitted",
    "need_of",
    "problem_from_plan",
    "read_problem",
    "way_record",
]
