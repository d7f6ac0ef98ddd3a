"""ASTM F1216, Appendix X1, as a design method."""

from __future__ import annotations

from linerdesign.methods.basis import Basis
from linerdesign.methods.equation import Provenance
from linerdesign.methods.f1216 import gravity, ovality
from linerdesign.methods.f1216.basis import (
    EDITION_07A,
    EDITION_07B,
    checks_of,
    in_parts,
    requirement,
    verification,
)
from linerdesign.methods.f1216.findings import alternatives, findings
from linerdesign.methods.f1216.mechanics import code_pressure, equivalent_factor
from linerdesign.methods.f1216.properties import RESTS_ON, SPECIFICATIONS
from linerdesign.methods.f1216.submittals import SUBMITTALS
from linerdesign.methods.ground.load_lines import FIXED
from linerdesign.methods.method import Errors, Method
from linerdesign.methods.origin import by_standard
from linerdesign.methods.task import Input


def constants(basis: Basis) -> tuple[Input, ...]:
    """What the standard and the rule of the live load themselves fix, as inputs."""
    if not basis.buried_fully:
        return ()
    origin = by_standard("X1.4", Provenance.SECONDARY.value)
    stiffness = Input("S_min", gravity.LEAST_STIFFNESS[basis.system], origin)
    fixed = FIXED.get(basis.live_load, ())
    return (stiffness, *(Input(each.key, each.value(basis.system), each.origin) for each in fixed))


def errors() -> Errors:
    """The errors that reviewers meet; loaded for a review alone."""
    from linerdesign.methods.f1216.slips import ERRORS

    return ERRORS


WORKED_BESIDE = (
    ovality.ovality_from_maximum,
    ovality.ovality_from_minimum,
    ovality.larger_ovality,
    ovality.design_ovality,
    ovality.ovality_reduction,
    gravity.dimension_ratio,
    gravity.long_term_modulus,
    gravity.long_term_strength,
    code_pressure,
    equivalent_factor,
)

METHOD = Method(
    name="ASTM F1216, Appendix X1",
    short="ASTM F1216",
    requirement=requirement,
    verification=verification,
    checks=checks_of,
    constants=constants,
    findings=findings,
    alternatives=alternatives,
    in_parts=in_parts,
    parts=frozenset(("q_water", "q_soil")),
    modules=("f1216.ovality", "site", "f1216.gravity", "f1216.pressure", "f1216.mechanics"),
    editions=(EDITION_07B, EDITION_07A),
    equations={each.result: each for each in WORKED_BESIDE},
    usual={"K": gravity.USUAL_ENHANCEMENT, "r_E": gravity.USUAL_RETENTION},
    rests_on=RESTS_ON,
    specifications=SPECIFICATIONS,
    submittals=SUBMITTALS,
    errors=errors,
)
