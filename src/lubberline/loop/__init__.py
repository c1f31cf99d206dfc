"""The loop joined: plan and print, judge and keep, follow over many flights.

What only some commands need, such as ``loop.debriefing``, is imported from its own module: so
that a card is printed without waiting for it.
"""

from lubberline.loop.account import WayAccount, account_record, way_account
from lubberline.loop.account_words import account_words, chance_text, heard_words, short_words
from lubberline.loop.course import (
    Courses,
    Drifted,
    follow,
    follow_all,
    store_file,
    store_path,
)
from lubberline.loop.planning import Prepared, Printed, checked, prepare, prepare_plan, print_card
from lubberline.loop.practice import recorded_movements
from lubberline.loop.radio import RadioCall, RadioPlan, call_sentences, radio_plan, radio_record

__all__ = [
    "Courses",
    "Drifted",
    "Prepared",
    "Printed",
    "RadioCall",
    "RadioPlan",
    "WayAccount",
    "account_record",
    "account_words",
    "call_sentences",
    "chance_text",
    "checked",
    "follow",
    "follow_all",
    "heard_words",
    "prepare",
    "prepare_plan",
    "print_card",
    "radio_plan",
    "radio_record",
    "recorded_movements",
    "short_words",
    "store_file",
    "store_path",
    "way_account",
]
