"""Working code of ``lubberline radio``: the plan of calls, as text or as JSON."""

from pathlib import Path

from lubberline import loop
from lubberline.cli.output import document, say, wrapped
from lubberline.loop import RadioCall, RadioPlan
from lubberline.wording import CAUTION


def show_radio(flight_path: Path, number: int | None, *, as_json: bool) -> None:
    """Every call of one way in order, what to do without an answer, who is heard from where."""
    prepared = loop.prepare(flight_path, number)
    planned = loop.radio_plan(prepared, prepared.way)
    if as_json:
        document(flight=prepared.plan.flight.title, **loop.radio_record(planned), caution=CAUTION)
        return
    wrapped(f"RADIO  {prepared.plan.flight.title}, way {planned.number}: {planned.way_name}")
    for place, call in enumerate(planned.calls, 1):
        say()
        _call(place, call, last=place == len(planned.calls))
    say()
    wrapped(f"Flight following: {planned.following}.")
    say()
    _lost(planned)
    say()
    say("Heard from (line of sight)")
    for facility, frequency_mhz, heard in planned.heard:
        wrapped(f"{facility} {frequency_mhz:.3f}: {loop.heard_words(heard)}", indent=2)
    say()
    wrapped(f"{planned.sources} {CAUTION}")


def _call(place: int, call: RadioCall, *, last: bool) -> None:
    rung = call.rung
    mhz = f"{rung.frequency_mhz:.3f}" if rung.frequency_mhz else "frequency not on file"
    then = f"set next: {rung.standby_mhz:.3f}" if rung.standby_mhz else "stay on it"
    then = "last call" if last else then
    say(f"{place:2} {call.at_utc:%H:%MZ}  {f'{rung.facility} {mhz}':42}  {then}")
    wrapped(f"{rung.where}, {round(rung.spot.msl_ft, -1):,.0f} ft; {_setting(call)}", indent=5)
    told = rung.asks.startswith(("listen", "announce"))
    wrapped(f"{'' if told else 'ask for '}{rung.asks}{_by(call)}", indent=5)
    if rung.with_whom:
        let_go = "to let you change" if rung.asks == "announce" else "for the hand-off"
        wrapped(f"while with {rung.with_whom}: ask it {let_go}", indent=5)
    if rung.heard is False:
        wrapped("not in line of sight there: no answer is to be expected yet", indent=5)
    if rung.phrase:
        wrapped(f"“{rung.phrase}”", indent=5)
    if call.unanswered:
        wrapped(f"no answer: {call.unanswered}", indent=5)


def _setting(call: RadioCall) -> str:
    if call.altimeter_inhg is None:
        return "altimeter setting not on file"
    return f"altimeter {call.altimeter_inhg:.2f} expected ({call.station})"


def _by(call: RadioCall) -> str:
    if call.have_by_utc is None or not call.rung.need:
        return ""
    law = "" if call.rung.by_law else " by your margins"
    return f"; {call.rung.need} needed{law} by {call.have_by_utc:%H:%MZ}, {call.rung.have_by_where}"


def _lost(planned: RadioPlan) -> None:
    say("Without a radio")
    for sentence in planned.lost:
        wrapped(sentence, indent=2)
