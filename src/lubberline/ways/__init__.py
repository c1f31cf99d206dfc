"""Ways from one aerodrome to another: evaluated, checked, compared."""

from lubberline.ways.airspace import is_permitted, need_of
from lubberline.ways.along import Along, along_way
from lubberline.ways.answer import answer_record, way_record
from lubberline.ways.audible import Audible, Station, audible_from, radio_horizon_nm
from lubberline.ways.call import Call, Speaker, speaker
from lubberline.ways.calls import radio_calls
from lubberline.ways.candidates import evaluate_candidates, evaluate_plan
from lubberline.ways.checker import check
from lubberline.ways.compare import all_ways
from lubberline.ways.demands import Demand
from lubberline.ways.evaluate import evaluate
from lubberline.ways.facilities import asked, audible_along, handoffs
from lubberline.ways.from_plan import problem_from_plan
from lubberline.ways.glide import Beyond, beyond_fields, beyond_land
from lubberline.ways.heights import least_over_ground_ft
from lubberline.ways.hours import problem_of, resting
from lubberline.ways.lowest import Extremes, extremes
from lubberline.ways.model import (
    CheckReport,
    Encounter,
    ImpossibleWay,
    Leg,
    Spot,
    Violation,
    Way,
)
from lubberline.ways.neighbors import room_words
from lubberline.ways.power import PowerStep, WayDown, power_steps, way_down
from lubberline.ways.price import Price, price_of
from lubberline.ways.problem import Margins, Motion, Rules, WayEnd, WaysProblem
from lubberline.ways.problem_file import read_problem
from lubberline.ways.section import Cut, Section, cut_along
from lubberline.ways.slow_airspace import SLOW_KT, SlowAirspace, calibrated_kt, slow_airspace
from lubberline.ways.spoken import spoken_call_sign, spoken_figures, spoken_height
from lubberline.ways.stretches import Stretch, stretches
from lubberline.ways.sunlight import SunAhead, sun_ahead

__all__ = [
    "SLOW_KT",
    "Along",
    "Audible",
    "Beyond",
    "Call",
    "CheckReport",
    "Cut",
    "Demand",
    "Encounter",
    "Extremes",
    "ImpossibleWay",
    "Leg",
    "Margins",
    "Motion",
    "PowerStep",
    "Price",
    "Rules",
    "Section",
    "SlowAirspace",
    "Speaker",
    "Spot",
    "Station",
    "Stretch",
    "SunAhead",
    "Violation",
    "Way",
    "WayDown",
    "WayEnd",
    "WaysProblem",
    "all_ways",
    "along_way",
    "answer_record",
    "asked",
    "audible_along",
    "audible_from",
    "beyond_fields",
    "beyond_land",
    "calibrated_kt",
    "check",
    "cut_along",
    "evaluate",
    "evaluate_candidates",
    "evaluate_plan",
    "extremes",
    "handoffs",
    "is_permitted",
    "least_over_ground_ft",
    "need_of",
    "power_steps",
    "price_of",
    "problem_from_plan",
    "problem_of",
    "radio_calls",
    "radio_horizon_nm",
    "read_problem",
    "resting",
    "room_words",
    "slow_airspace",
    "speaker",
    "spoken_call_sign",
    "spoken_figures",
    "spoken_height",
    "stretches",
    "sun_ahead",
    "way_down",
    "way_record",
]
