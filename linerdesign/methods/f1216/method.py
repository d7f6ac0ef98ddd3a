"""ASTM F1216, Appendix X1, as a design method."""

from __future__ import annotations

from linerdesign.methods.basis import Basis
from linerdesign.methods.equation import Provenance
from linerdesign.methods.f1216.basis import checks_of, in_parts, requirement, verification
from linerdesign.methods.f1216.findings import alternatives, findings
from linerdesign.methods.f1216.gravity import LEAST_STIFFNESS
from linerdesign.methods.f1216.load_lines import FIXED
from linerdesign.methods.method import Method
from linerdesign.methods.origin import by_standard
from linerdesign.methods.task import Input


def constants(basis: Basis) -> tuple[Input, ...]:
    """What the standard and the rule of the live load themselves fix, as inputs."""
    if not basis.buried_fully:
        return ()
    origin = by_standard("X1.4", Provenance.SECONDARY.value)
    stiffness = Input("S_min", LEAST_STIFFNESS[basis.system], origin)
    fixed = FIXED.get(basis.live_load, ())
    return (
        stiffness,
        *(Input(each.key, each.value(basis.system), each.origin) for each in fixed),
    )


METHOD = Method(
    name="ASTM F1216, Appendix X1",
    requirement=requirement,
    verification=verification,
    checks=checks_of,
    constants=constants,
    findings=findings,
    alternatives=alternatives,
    in_parts=in_parts,
    parts=frozenset(("q_water", "q_soil")),
)
