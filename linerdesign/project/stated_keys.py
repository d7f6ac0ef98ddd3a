"""The part of the table of keys that is about a submittal under review."""

from __future__ import annotations

from linerdesign.methods.basis import FULLY, PARTIALLY
from linerdesign.project.key import Key
from linerdesign.words import sentence

DISPOSITIONS = ("no exceptions taken", "make corrections noted", "revise and resubmit", "rejected")
STATED = (
    Key("thickness", ("stated",), "section", "design thickness submitted"),
    Key("required_thickness", ("stated",), "section", "required thickness before rounding"),
    Key("steps", ("stated", "stated station"), "steps", "lines of the submittal, by symbol", {}),
    Key("inputs", ("stated",), "inputs", "inputs that differ from this file"),
    Key("edition", ("inputs",), "edition", sentence("standard.help_stated")),
    Key(
        "condition",
        ("stated",),
        "choice",
        "host condition that the submittal takes",
        choices=(PARTIALLY, FULLY),
    ),
    Key("governing", ("stated",), "text", "equation that the submittal calls governing"),
    Key("thickness_step", ("stated",), "section", "thickness increment of the submittal"),
    Key("safety_factor", ("stated",), "factor", "safety factor that its wall is said to provide"),
    Key("pressure_class", ("stated",), "pressure", "pressure class that the submittal states"),
    Key("station", ("stated",), "stated stations", "lines shown station by station", ()),
    Key("at", ("stated station",), "text", "station, as [[pipe.station]] names it", required=True),
    Key("contractor", ("submittal",), "text", "submitted by"),
    Key("received", ("submittal",), "label", "date of receipt"),
    Key(
        "disposition",
        ("submittal",),
        "choice",
        "decision of the engineer; proposed by the review where left out",
        choices=DISPOSITIONS,
    ),
)
