"""The form of what was learned of an airplane and taken into its file."""

from typing import Annotated

from pydantic import Field

from lubberline.measured import Measured

Factor = Annotated[float | None, Field(ge=0.5, le=1.5, examples=[0.97])]


class LearnedForm(Measured):
    """The ``[learned]`` table of an aircraft file: what multiplies a table of the manual."""

    cruise_tas_factor: Factor = None
    cruise_gph_factor: Factor = None
    climb_fpm_factor: Factor = None

    def factors(self) -> dict[str, float]:
        """Those that are given."""
        return dict(self.model_dump(exclude_none=True))
