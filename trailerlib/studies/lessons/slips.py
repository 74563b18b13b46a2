"""The known slips: a name, and the hint that names the slip without giving the number away."""

from __future__ import annotations

HINTS: dict[str, str] = {
    "one way": "That is the way out only. The current also has to come back, so the wire counts there and back.",
    "radius for diameter": (
        "That takes the width for half of it. A caliper shows the whole width; halve it for a radius."
    ),
    "width for area": (
        "That follows the width of the wire. Current goes through the area, and the area is the width squared."
    ),
    "cold copper": "That is copper in a cool room. This wire is hot, and hot copper resists more.",
    "gauge counted the wrong way": "That counts the gauge the wrong way. A smaller gauge number is a thicker wire.",
    "resistance for drop": "That is the resistance. The drop is the resistance times the current.",
    "battery left out": "That leaves the battery's own resistance out. The current goes through the battery too.",
    "fuse for fault": (
        "That is what the fuse is rated for. A fuse does not set the current of a short; the resistance does."
    ),
    "not squared": "That forgets the square. The current counts twice over, once for each factor.",
    "no extra for long": "That adds nothing for what runs for hours. Long loads count a quarter more.",
    "extra on all": "That adds the quarter to everything. Only what runs for three hours or more counts more.",
    "warm battery": "That is the battery on a warm day. In the cold a part of it cannot be had.",
    "new battery": "That is the battery when it was new. Age has taken a part of it.",
    "hours rate": "That takes the label at any current. The amp-hours on the label are those of a slow discharge.",
    "label is one hour": "That reads the label as amperes for an hour. Look for the hours that stand beside it.",
    "watt-hours for amp-hours": "Those are watt-hours. Divide by the voltage of the battery to get amp-hours.",
    "always on": ("That lets it run all the time. It switches itself on and off; only its share of the time counts."),
    "watts for volt-amperes": (
        "That divides the watts only. The supply feels volt-amperes: the power factor is missing."
    ),
    "factor the wrong way": (
        "That multiplies by the power factor. Divide by it: a poor load draws more current, not less."
    ),
    "full current while it sags": (
        "That takes the full starting current. On a sagging supply a motor that stands still draws less."
    ),
    "largest alone": "That is the largest of them alone. What is on together adds up.",
    "one joint of two": "That is one joint. There is one at each end, and both lose.",
    "all on one leg": "That puts everything on one leg. Each leg carries only what hangs on it.",
    "both legs for one": "That divides by the voltage between two legs. These loads hang on one leg alone.",
    "whole rating": "That uses the whole rating for hours. A breaker may carry only a part of it for so long.",
    "nothing on yet": "That forgets what is on already. Its current comes off first.",
    "one sleeper": "That is one sleeper. Everybody aboard breathes out.",
    "outside air is clean": "That is what the sleepers add. The air from outside brings some along already.",
    "gains left out": "That leaves out what people and loads warm the room with. Their heat comes off.",
    "Fahrenheit steps": "That counts steps of Fahrenheit where the loss is given for steps of Celsius.",
    "all of the drop": (
        "That takes the whole reading for the bad joint. The wire itself loses some of it, as it should."
    ),
    "from the nose": "That measures from the nose of the box. The lever begins at the coupler.",
    "whole weight": "That puts the whole weight on the coupler. The axle carries most of it, by the levers.",
    "wheels for coupler": "That is what the wheels carry. The coupler has the rest.",
    "moved the wrong way": "That moves it the wrong way. Forward puts weight on the coupler, backward takes it off.",
    "a thousand too large": "That is a thousand times too large. Look at the small m: milli is a thousandth.",
    "a thousand too small": "That is a thousand times too small. Look at the small m: milli is a thousandth.",
}
