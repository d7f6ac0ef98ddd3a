"""Wall thickness of cured-in-place pipe liners by the equations of ASTM F1216 Appendix X1.

Programs may rely on the names in `__all__`; `linerdesign.interface` describes them. They are
loaded when first used, so that a command loads no more than it needs.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from linerdesign.interface import (
        Comparison,
        Criteria,
        Equation,
        Fault,
        InputFaults,
        Inventory,
        Pipe,
        PipeResult,
        PlanningTables,
        Project,
        Resin,
        Review,
        Sizing,
        batch,
        compare,
        equation,
        plan,
        read,
        review,
        size,
        size_rows,
        write,
    )

__version__ = "0.1.0"
__all__ = [
    "Comparison",
    "Criteria",
    "Equation",
    "Fault",
    "InputFaults",
    "Inventory",
    "Pipe",
    "PipeResult",
    "PlanningTables",
    "Project",
    "Resin",
    "Review",
    "Sizing",
    "batch",
    "compare",
    "equation",
    "plan",
    "read",
    "review",
    "size",
    "size_rows",
    "write",
]


if not TYPE_CHECKING:  # or a type checker would take any name for one that is there

    def __getattr__(name: str) -> Any:
        if name in __all__:
            from linerdesign import interface

            return getattr(interface, name)
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")


def __dir__() -> list[str]:
    return [*__all__, "__version__"]
