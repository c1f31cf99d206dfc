"""Working code of ``lubberline ways FLIGHT``: all ways in one table, or all about one of them."""

from dataclasses import asdict
from pathlib import Path

from lubberline import loop
from lubberline.cli.line_rows import line_rows
from lubberline.cli.output import document, say, wrapped
from lubberline.loop import Prepared, WayAccount
from lubberline.ways import Way, answer_record
from lubberline.wording import CAUTION, direction_text


def show_ways(flight_path: Path, number: int | None, *, as_json: bool) -> None:
    """All ways side by side; with a number, everything about that one."""
    prepared = loop.prepare(flight_path, number)
    asked = prepared.ways if number is None else (prepared.way,)
    accounts = [loop.way_account(prepared, way) for way in asked]
    if as_json:
        _json(prepared, accounts)
        return
    say(f"WAYS  {prepared.plan.flight.title}")
    _table(accounts)
    for one in prepared.impossible:
        wrapped(f"cannot be flown: {one}", indent=3)
    if number is not None:
        _one(accounts[0])
    else:
        say()
        wrapped(
            "All about one of them: lubberline ways FLIGHT --way N; its calls: lubberline radio."
        )
    say()
    wrapped(CAUTION)


def _json(prepared: Prepared, accounts: list[WayAccount]) -> None:
    record = answer_record(told.way for told in accounts)
    for row, told in zip(record["ways"], accounts, strict=True):
        row["account"] = loop.account_record(told)
    impossible = [asdict(one) for one in prepared.impossible]
    document(**record, impossible=impossible, caution=CAUTION)


def _table(accounts: list[WayAccount]) -> None:
    """What each costs, when it arrives, its worst verdict; then what tells it apart."""
    say(f"{'':3}{'way':25}{'min':>4}{'gal':>5}{'NM':>6}{'ft':>7}{'cost':>7} on block chance worst")
    for told in accounts:
        way = told.way
        cost = f"{told.price.total:,.0f}" if told.price is not None else "-"
        chance = loop.chance_text(told).replace("over ", ">").replace("under ", "<")
        say(
            f"{told.number:2} {way.name[:24]:25}{way.time_min:4.0f}{way.fuel_gal:5.1f}"
            f"{way.distance_nm:6.1f}{way.cruise_msl_ft:7,.0f}{cost:>7} {told.on_block_utc:%H:%MZ}"
            f"   {chance or '-':7}{told.worst.verdict}"
        )
        for words in ([way.name] if len(way.name) > 24 else []) + list(loop.short_words(told)):
            wrapped(words, indent=3)


def _one(told: WayAccount) -> None:
    say()
    _legs(told.way)
    for title, sentences in loop.account_words(told):
        say()
        say(title)
        for sentence in sentences or ("nothing",):
            wrapped(sentence, indent=2)
    say()
    for row in line_rows([*told.way.findings, *told.sky]):
        say(row)


def _legs(way: Way) -> None:
    say(f"{'to':26}{'MC':>4}{'MH':>5}{'ft':>8}{'NM':>7}{'GS':>5}{'min':>5}{'gal':>6}")
    for leg in way.legs:
        course, heading = direction_text(leg.mag_deg), direction_text(leg.heading_mag_deg)
        ground = f"{leg.ground_kt:.0f}"
        if leg.is_circling:
            course = heading = ground = "-"
        say(
            f"{leg.to_name[:25]:26}{course:>4}{heading:>5}{leg.to_msl_ft:8,.0f}"
            f"{leg.distance_nm:7.1f}{ground:>5}{leg.time_min:5.0f}{leg.fuel_gal:6.1f}"
        )
