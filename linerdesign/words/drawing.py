"""Words of the drawings of a pipe."""

SENTENCES = {
    "section": "Section",
    "section_at": "Section at {station}",
    "caption": "{section}. Above: the pipe {site}, to one scale. Below: the pipe enlarged, {wall}"
    "{round}.",
    "in_ground": "in the ground",
    "above_ground": "above ground",
    "alternative": "{section}. {ground} {pipe}",
    "pipe": "Host pipe of {bore} inside diameter with a liner {liner} thick, {wall}{round}.",
    "wall": "wall to scale",
    "wall_drawn": "wall drawn {times} times as thick",
    "round": "; drawn round, without its ovality of {ovality} %",
    "cover": "Cover {cover}; {water}.",
    "no_cover": "No cover given; {water}.",
    "ground_none": "Above ground.",
    "no_water": "no groundwater",
    "at_invert": "water at invert",
    "above_invert": "water {depth} above invert",
    "below_invert": "water {depth} below invert",
    # Labels in the drawing
    "host": "host pipe, {bore}",
    "ground": "ground",
    "cover_label": "cover {cover}",
    "unknown_cover": "ground: no cover given",
    "diameter": "D = {bore}",
    "ovality": "ovality {ovality} %",
    "not_drawn": "not drawn",
    "liner": "liner t = {liner}",
    "host_wall": "host pipe",
    "host_wall_not_to_scale": "host, wall not to scale",
    # Demand over capacity
    "bars": "Demand over capacity: {list}.",
    "bars_caption": "Demand over capacity; a bar beyond the line fails.",
    "bar": "{check} {ratio}, {verdict}",
    "capacity": "capacity",
}
