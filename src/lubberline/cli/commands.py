"""The commands: each parses its words, makes one call and shows the answer."""

from datetime import datetime
from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from lubberline.cli.app import app
from lubberline.cli.arguments import AsJson, FlightPath, WayNumber
from lubberline.cli.flown_commands import flown, page
from lubberline.cli.logbook import logbook_app
from lubberline.cli.marking import mark
from lubberline.cli.places import places_app
from lubberline.cli.pledge import pledge_app
from lubberline.cli.school import school_app
from lubberline.cli.store import store_app
from lubberline.cli.ways_commands import radio, ways
from lubberline.cli.weather import weather_app


class Paper(StrEnum):
    """What a card may be printed on."""

    A5 = "a5"
    HALF_LETTER = "half-letter"
    A4 = "a4"
    LETTER = "letter"


@app.command()
def init(
    directory: Annotated[Path, typer.Argument(help="Folder to make; it must not exist yet.")],
    if_missing: Annotated[
        bool, typer.Option("--if-missing", help="Say nothing if the folder is there already.")
    ] = False,
) -> None:
    """Write a commented starter folder that works as it is."""
    from lubberline.cli.output import say
    from lubberline.demo import write_folder
    from lubberline.ways.ahead import compile_in_background

    if if_missing and directory.exists():
        return
    write_folder(directory)
    compile_in_background()
    say(f"wrote {directory}; begin with: lubberline fit {next((directory / 'flights').iterdir())}")


@app.command()
def fit(
    flight: FlightPath,
    way: WayNumber = None,
    why: Annotated[
        str | None, typer.Option(help="Explain one finding in full, by its key.", metavar="KEY")
    ] = None,
    runways: Annotated[
        bool, typer.Option("--runways", help="Compare every runway end instead.")
    ] = False,
    fuel: Annotated[
        bool, typer.Option("--fuel", help="Fuel by part, tank and point, and when to turn.")
    ] = False,
    as_json: AsJson = False,
) -> None:
    """Are pilot and airplane legal and fit for this flight, today?"""
    from lubberline import loop
    from lubberline.cli import show

    prepared = loop.prepare(flight, way)
    if why is not None:
        from lubberline.cli.why import show_why

        show_why(prepared, why, as_json=as_json)
        return
    if runways or fuel:
        from lubberline.cli.fit_tables import show_fuel, show_runways

        (show_runways if runways else show_fuel)(prepared, as_json=as_json)
        return
    show.fit_json(prepared) if as_json else show.fit(prepared)


@app.command()
def fitness(
    directory: Annotated[Path, typer.Argument(help="The pilot's folder.")],
    ill: Annotated[bool | None, typer.Option("--ill/--well", help="Ill or hurt?")] = None,
    medication: Annotated[
        bool | None,
        typer.Option("--medication/--no-medication", help="Any that may slow you?"),
    ] = None,
    stress: Annotated[int | None, typer.Option(help="From 0 to 4.", min=0, max=4)] = None,
    drank_h: Annotated[
        float | None, typer.Option(help="Hours since your last drink; 24 or more: none.", min=0)
    ] = None,
    slept_h: Annotated[float | None, typer.Option(help="Hours slept.", min=0, max=24)] = None,
    awake_h: Annotated[float | None, typer.Option(help="Hours awake.", min=0, max=72)] = None,
    eaten_h: Annotated[float | None, typer.Option(help="Hours since eating.", min=0)] = None,
) -> None:
    """How are you today?

    Asks what is not given; the answers stay in your folder.
    """
    from lubberline.cli.fitness import Answers, answer

    answer(
        directory,
        Answers(
            ill=ill,
            medication=medication,
            stress=stress,
            drank_h=drank_h,
            slept_h=slept_h,
            awake_h=awake_h,
            eaten_h=eaten_h,
        ),
    )


@app.command()
def reload(flight: FlightPath, way: WayNumber = None, as_json: AsJson = False) -> None:
    """What to move, leave or drain when weight or balance is outside?"""
    from lubberline.cli.reload import show_reload

    show_reload(flight, way, as_json=as_json)


app.command()(ways)
app.command()(radio)


@app.command()
def card(
    flight: FlightPath,
    way: WayNumber = None,
    paper: Annotated[
        Paper, typer.Option(help="Paper; the large ones have larger letters.")
    ] = Paper.A5,
    night: Annotated[
        bool, typer.Option("--night", help="Larger letters and heavier lines, black on white.")
    ] = False,
    fold: Annotated[
        bool, typer.Option("--fold", help="One sheet of A4 or letter to fold in the middle.")
    ] = False,
    practice: Annotated[
        list[str] | None,
        typer.Option(help="What to practise, in place of the program's tasks.", metavar="TEXT"),
    ] = None,
    png: Annotated[bool, typer.Option("--png", help="Write a picture of it, too.")] = False,
    as_json: AsJson = False,
) -> None:
    """Print one way's card, which fixes its numbers: the pledge."""
    from lubberline import loop
    from lubberline.card import Form
    from lubberline.cli import show

    form = Form(paper=paper, night=night, folded=fold)
    printed = loop.print_card(loop.prepare(flight, way), png=png, form=form, practice=practice)
    show.card(printed, as_json=as_json)


@app.command()
def watch(flight: FlightPath, way: WayNumber = None, as_json: AsJson = False) -> None:
    """Who looks for you if you do not arrive?

    Writes the note and a calendar entry.
    """
    from lubberline.cli.watch import write_watch

    write_watch(flight, way, as_json=as_json)


@app.command()
def filing(
    flight: FlightPath,
    way: WayNumber = None,
    change: Annotated[
        bool, typer.Option("--change", help="Only what differs from the plan given out last.")
    ] = False,
    delay: Annotated[
        datetime | None,
        typer.Option(help="Another off-block time, UTC.", formats=["%Y-%m-%dT%H:%M"]),
    ] = None,
    cancel: Annotated[bool, typer.Option("--cancel", help="Withdraw the plan.")] = False,
    as_json: AsJson = False,
) -> None:
    """What to file? The ICAO flight plan and its amendments.

    It files nothing itself.
    """
    from lubberline.cli import filing as work

    if sum((change, delay is not None, cancel)) > 1:
        raise typer.BadParameter("one of --change, --delay and --cancel at a time")
    if delay is not None:
        work.show_delay(flight, delay, as_json=as_json)
    elif cancel:
        work.show_cancellation(flight, as_json=as_json)
    elif change:
        work.show_change(flight, way, as_json=as_json)
    else:
        work.write_filing(flight, way, as_json=as_json)


app.command()(flown)
app.command()(mark)


@app.command()
def drift(
    directory: Annotated[Path, typer.Argument(help="The pilot's folder, or a store file.")],
    measure: Annotated[
        str | None, typer.Argument(help="Key of one measure to show in detail; else all of them.")
    ] = None,
    pilot: Annotated[
        str | None, typer.Option(help="Whose flights; else who flew the newest.")
    ] = None,
    marks: Annotated[
        bool, typer.Option("--marks", help="Own marks beside what was measured.")
    ] = False,
    parquet: Annotated[
        Path | None, typer.Option(help="Write the values, too.", metavar="FILE")
    ] = None,
    html: Annotated[
        Path | None, typer.Option(help="Write a page with charts, too.", metavar="FILE")
    ] = None,
    as_json: AsJson = False,
) -> None:
    """Over many flights: better, worse, or too early to say?"""
    from lubberline.cli import drift as work
    from lubberline.cli.drift_marks import show_marks

    work.write_page(directory, html, key=measure, pilot=pilot)
    if marks:
        show_marks(directory, pilot=pilot, as_json=as_json)
    elif measure is None:
        work.show_table(directory, pilot=pilot, parquet=parquet, as_json=as_json)
    else:
        work.show_one(directory, measure, pilot=pilot, parquet=parquet, as_json=as_json)


@app.command()
def due(
    directory: Annotated[Path, typer.Argument(help="The pilot's folder.")],
    days: Annotated[int, typer.Option(help="How many days ahead.", min=0, max=3660)] = 90,
    hours_h: Annotated[
        float,
        typer.Option("--hours", help="How many hours ahead, where hours count.", min=0.0),
    ] = 25.0,
    on: Annotated[
        datetime | None,
        typer.Option(help="Day to count from; else today.", formats=["%Y-%m-%d"]),
    ] = None,
    ics: Annotated[
        Path | None, typer.Option(help="Calendar file (iCalendar) to write as well.")
    ] = None,
    as_json: AsJson = False,
) -> None:
    """What comes due for airplanes and pilot, and when?"""
    from lubberline.cli import due as work

    today = on.date() if on else work.local_today()
    listed = work.list_due(directory, today=today, days=days, hours_h=hours_h)
    wrote = f"wrote {ics}: {work.write_ics(listed, ics)} events" if ics else ""
    work.show_due(listed, wrote, as_json=as_json)


@app.command()
def learned(
    directory: Annotated[Path, typer.Argument(help="The pilot's folder.")],
    airplane: Annotated[str | None, typer.Option(help="Call sign, where several fly.")] = None,
    pilot: Annotated[str | None, typer.Option(help="Name, where several fly.")] = None,
    take: Annotated[
        str | None, typer.Option(help="Write this number into its file.", metavar="NAME")
    ] = None,
    flight: Annotated[
        Path | None, typer.Option(help="The flight whose file takes taxi times.")
    ] = None,
    as_json: AsJson = False,
) -> None:
    """Which numbers do your flights show, and what would they change?"""
    from lubberline.cli import learned as work

    if take is not None:
        work.take_number(directory, take, airplane=airplane, pilot=pilot, flight=flight)
        return
    work.show_learned(directory, airplane=airplane, pilot=pilot, flight=flight, as_json=as_json)


@app.command()
def practice(flight: FlightPath, way: WayNumber = None, as_json: AsJson = False) -> None:
    """What should this flight practise, and did it help before?"""
    from lubberline.cli.practice import show_practice

    show_practice(flight, way, as_json=as_json)


@app.command()
def differ(
    old: Annotated[Path, typer.Argument(help="Aircraft file of the airplane flown last.")],
    new: Annotated[Path, typer.Argument(help="Aircraft file of the one to fly.")],
    as_json: AsJson = False,
) -> None:
    """What differs in the hand between two airplanes?"""
    from lubberline.cli.differ import show_differences

    show_differences(old, new, as_json=as_json)


app.command()(page)


@app.command()
def serve(
    directory: Annotated[Path, typer.Argument(help="The pilot's folder.")],
    port: Annotated[int, typer.Option(help="Port on 127.0.0.1.", min=1, max=65535)] = 8041,
) -> None:
    """Show a folder's flights as pages, on this machine only."""
    from lubberline.page import serve_folder

    typer.echo(f"http://127.0.0.1:{port}  (this machine only; stop with Ctrl-C)")
    serve_folder(directory, port=port)


@app.command()
def demo(
    directory: Annotated[Path, typer.Argument(help="Folder to write the demo into.")] = Path(
        "lubberline-demo"
    ),
) -> None:
    """Run the whole loop on an invented region and flights."""
    from lubberline.cli.demo_run import run_demo

    run_demo(directory)


app.add_typer(logbook_app, name="logbook")
app.add_typer(pledge_app, name="pledge")
app.add_typer(places_app, name="places")
app.add_typer(weather_app, name="weather")
app.add_typer(school_app, name="school")
app.add_typer(store_app, name="store")
