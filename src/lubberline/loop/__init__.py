"""The loop joined: plan and print, judge and keep, follow over many flights."""

from lubberline.loop.course import Drifted, follow, is_known, store_path
from lubberline.loop.debriefing import Judged, judge
from lubberline.loop.planning import Prepared, Printed, checked, prepare, prepare_plan, print_card
from lubberline.loop.practice import recorded_movements
from lubberline.loop.radio import RadioCall, RadioPlan, radio_plan, radio_record

__all__ = [
    "Drifted",
    "Judged",
    "Prepared",
    "Printed",
    "RadioCall",
    "RadioPlan",
    "checked",
    "follow",
    "is_known",
    "judge",
    "prepare",
    "prepare_plan",
    "print_card",
    "radio_plan",
    "radio_record",
    "recorded_movements",
    "store_path",
]
