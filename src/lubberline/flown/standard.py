"""A published standard of flying: tasks with their tolerances, one file per standard."""

from dataclasses import dataclass

from lubberline.line import Basis


@dataclass(frozen=True, slots=True, kw_only=True)
class Tolerance:
    """How far a measure may lie from its target: ``low`` below (negative) to ``high`` above.

    ``measure`` is the name of what is measured, with its unit (``cruise_height_ft``). ``target``
    is what the deviation counts from where the document gives a number (a bank of 45 degrees).
    ``phases`` are those in which it is held, empty where the measure itself says so; ``settle_s``
    is left out at the start of each of them. ``from_memory`` says that no copy of the document
    confirmed the row.
    """

    measure: str
    label: str
    unit: str
    low: float | None
    high: float | None
    code: str
    target: float | None = None
    phases: tuple[str, ...] = ()
    settle_s: float | None = None
    from_memory: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Standard:
    """A set of tolerances with the document they come from: published, or the pilot's own."""

    name: str
    document: str
    read_on: str
    tolerances: dict[str, Tolerance]
    basis: Basis = "standard"

    def tolerance(self, measure: str) -> Tolerance | None:
        """The tolerance for a measure; None if this standard does not give one."""
        return self.tolerances.get(measure)

    def source(self, tolerance: Tolerance) -> str:
        """Document and code of a tolerance, as a limit names them."""
        return f"{self.document}, {tolerance.code}" + (
            " (from memory)" if tolerance.from_memory else ""
        )
