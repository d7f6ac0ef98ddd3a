"""The lines that give the modulus of soil reaction, where it is not simply given."""

from __future__ import annotations

from linerdesign.methods.ground import soil
from linerdesign.methods.ground.live_load import cover_in_feet
from linerdesign.methods.lines import Line, line

COMBINING = {"1996": soil.COMBINING_1996, "2005": soil.COMBINING_2005}


def soil_lines(
    by_depth: tuple[str, str] | None, combining: str, host_wall: bool, system: str, has_feet: bool
) -> tuple[Line, ...]:
    """Lines to `E_s`; none where it is given.

    `by_depth` is the soil and its compaction in the table of E' by depth, none where a modulus
    is given; `combining` names the combining table, if native soil counts too. `has_feet` says
    that an earlier line already carries the cover in feet.
    """
    fill = "E_b" if combining else "E_s"
    lines: list[Line] = []
    if by_depth:
        form = soil.BY_DEPTH[by_depth]
        if system == "US":
            lines.append(line(form, {"H_ft": "H", "E_psi": fill}))
        else:
            lines += [] if has_feet else [line(cover_in_feet)]
            lines += [line(form), line(soil.modulus_from_psi, {"E_s": fill})]
    if combining:
        ratio = soil.trench_ratio_outside if host_wall else soil.trench_ratio
        lines += [line(soil.native_ratio), line(ratio), line(COMBINING[combining])]
        lines.append(line(soil.combined_modulus))
    return tuple(lines)
