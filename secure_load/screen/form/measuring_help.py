"""How each figure of the form is come by on the boat, with a tape, a bathroom scale and a spirit level.

By the model's name and the key; what a field means is said by its docstring in the boat's models, and not here.
"""

from __future__ import annotations

_TIMBER = (
    "Cut a sliver and look at its grain and colour, or ask who built her. Leave it blank if in doubt: a soft wood is "
    "taken."
)
_FORWARD_UP = (
    "From a plumb line at the after end of the waterline, and from string lines along the centreline and at the "
    "height of the waterline. Minus is aft, to starboard, below."
)
_FRICTION = (
    "Put the two materials on a plank, lift one end until the upper one slides, and measure the rise over the level "
    "length: that is the figure. Do it wet and oily as they lie. Or take a named pair."
)
_FACE = "Look forward: port is left. Which face of the weight does it stand against?"
_STRENGTH = "Only from the maker's plate or a test; 200 kg will do as well. Blank: it is worked out from its parts."
_GUESS = "Measure it with the tape; blank takes a small one."
_BUILT = "No once it is fitted as written here, and you have looked at it."
_SNUG = "Push the weight hard over and measure the gap that opens. Snug is 0."

_WEIGHT = {
    "name": "What it is called aboard.",
    "mass_kg": "Stand on a bathroom scale with it and without it. Or by its size and a density.",
    "measured": "Yes only if it has been on a scale.",
    "drained_locker": "Pour a cup of water into the locker: all of it must run overboard, none into her.",
    "kind": "What is stowed: some scenarios are meant for batteries alone.",
    "at_m": "Its centre of gravity. " + _FORWARD_UP,
    "size_m": "Tape over all of it along its own edges: along her, across her, and up.",
    "shape": "Box unless it is plainly something else. Chain, shingle and punchings lie loose.",
    "top_size_m": "Tape over its top face only.",
    "cg_m": "Balance it on a pencil both ways: how far is that from its middle? Forward, to port and up are plus.",
    "id": "One or two words, no two alike: other weights and the record call it by this.",
}

_LEVEL = (
    "Lay a level or a phone's gauge along that edge with her upright. Or hold a level of 300 mm against it, measure "
    'the gap at its low end, and write "40 in 300".'
)
_LIE = {
    "fore_and_aft": _LEVEL + " Minus where its after end is higher.",
    "athwartships": _LEVEL + " Minus where its starboard side is higher.",
    "turned": "Seen from above, from the centreline to its long side. 0 where it lies along her.",
}

_BOAT = {
    "deadrise_deg": "Outside, a level athwart under the planking: its angle from level. 0 for a flat bottom.",
    "name": "As on her transom.",
    "rig": "In a word or two.",
    "lwl_m": "Afloat, drop a plumb line from stem and stern to the water and measure between; or from her drawing.",
    "bwl_m": "Hold a straight staff across her at the water, plumb down from both ends, or from her drawing.",
    "displacement_kg": "From the crane's scale or her marks, less all the weights in this list.",
    "bilge": "Wet if water ever stands where the fastenings are. In doubt, wet.",
    "hull": "A magnet draws steel through the paint. Plywood and strip planking are wood.",
    "roll_axis_z_m": "Leave at 0 (waterline) unless measured.",
    "trailered": "Yes if she is ever carried by road with the weights in her.",
}

_FLOORS = {
    "timber": _TIMBER,
    "first_at_m": "From a plumb line at the after end of the waterline to the middle of the aftermost floor.",
    "spacing_mm": "From the middle of one floor to the middle of the next.",
    "sided_mm": "Tape across the top of a floor, along her.",
    "moulded_mm": "A thin rule from the floor's top down to the keel beside it.",
}

_KEEL = {
    "timber": _TIMBER,
    "width_mm": "Tape across its top, between the garboards.",
}

_PLANKING = {
    "timber": _TIMBER,
    "thickness_mm": "At a skin fitting, or drill a small hole, measure with a bent wire, and plug it.",
    "frame_spacing_mm": "From the middle of one frame to the middle of the next, inside her.",
}

_SOLE = {
    "timber": _TIMBER,
    "thickness_mm": "At the edge of a board that lifts.",
    "screws": "Count the screws in the boards that the weight stands on.",
}

_SCREWS = {
    "kind": "Slotted or crossed head: wood screw. Square or six-sided head: coach screw. A nut at the end: bolt.",
    "count": "Count the heads, all of this piece together.",
    "gauge": "On the packet. Or measure the shank: 'secure-load list screws' gives the thickness of each gauge.",
    "diameter_mm": "Across the smooth shank below the head, with a caliper or a drill gauge.",
    "penetration_mm": "Draw one: its whole length, less the thickness of the piece it goes through first.",
    "into": _TIMBER,
    "member": "Follow the screw down: what does its point stand in? Look at it from the other side if you can.",
    "stock_mm": "Through the floor, frame or board, the way the screw goes; of planking as said there.",
    "sided_mm": "Across the face that the screws go into, from edge to edge.",
    "metal": "A magnet draws steel, and neither bronze nor brass. Scratch: brass is yellow, bronze is red.",
    "washer_mm": "Across the washer, edge to edge.",
    "end_grain": "Yes if the screw runs the way the grain runs, as into the end of a post.",
}

_BED = {
    "proposed": _BUILT,
    "face": "What it sits on is its bottom. A bulkhead it bears against is a bed at that face.",
    "edge": "Feel under it: where only a lower edge touches a plank that rises, say which. A bed for each edge.",
    "slope_deg": "A gauge on the plank or bed, square to the edge: its angle from level. Blank: as the weight lies.",
    "on": "Look below the bed: what carries it? Knock: planking rings, floors and frames do not.",
    "friction": _FRICTION,
    "timber": _TIMBER,
    "size_m": "Only what truly touches: slide a sheet of paper under it from each side. First way: fore and aft "
    "(across her, on a forward or after end); second way: across her (up and down, on a side or an end).",
    "at_m": "The middle of what touches. " + _FORWARD_UP,
    "slack_mm": _SNUG,
}

_PAD = {
    "material": "As bought; press a thumbnail in: neoprene springs back, foam stays down.",
    "thickness_mm": "At an edge that is not loaded.",
}

_CLEAT = {
    "proposed": _BUILT,
    "slope_deg": "A gauge on the face towards the weight: its angle from level, 90 for a square block.",
    "face": _FACE,
    "timber": _TIMBER,
    "length_mm": "Along the side of the weight, the part that touches.",
    "height_mm": "From the bottom of the weight up to the cleat's top edge.",
    "depth_mm": "Away from the weight, through the thick of it.",
    "friction": _FRICTION,
    "strength_N": _STRENGTH,
    "slack_mm": _SNUG,
    "at_m": "The middle of its foot, where it touches the weight. " + _FORWARD_UP,
}

_BATTEN = {
    "proposed": _BUILT,
    "timber": _TIMBER,
    "span_mm": "Clear length from fastened end to fastened end.",
    "width_mm": "Flat on the weight, from edge to edge.",
    "depth_mm": "Through the thick of it, up from the weight.",
    "along": "Across her, or fore and aft.",
    "friction": _FRICTION,
    "strength_N": _STRENGTH,
    "slack_mm": "Lift the weight hard against it and measure the gap that was there. Snug is 0.",
    "at_m": "Where its middle crosses the top of the weight. " + _FORWARD_UP,
}

_LINE = {
    "proposed": _BUILT,
    "from_m": "The very point where it is made fast or leads off. " + _FORWARD_UP,
    "to_m": "The very point where it is made fast. " + _FORWARD_UP,
    "line": "Measure its thickness, or its width if it is flat; the maker's label says the rest.",
    "turns": "Count the parts of line that share the pull.",
    "termination": "Look at each end: knot, splice, buckle or clip. The weakest counts.",
    "tension_N": "Put a spring balance in the line as it is pulled tight, and write what it shows, such as 20 kg. In "
    "doubt, 0.",
    "tension_loss": "0.5 if half of it is gone when you come back next day.",
    "shackle": "The size is the thickness of its bow.",
    "strength_N": _STRENGTH,
    "slack_mm": "Pull the weight away from it until it comes tight, and measure how far. Set up tight is 0.",
}

_ANCHORS = {
    "kind": "Look at what the line goes to: a screwed eye, a plate with an eye, a bolt right through, or a frame.",
    "strength_N": "Only from the maker or a test; blank takes its screws.",
}

_TIE = {
    "proposed": _BUILT,
    "tie": "Measure its width: the class goes by it. Sun and cold make it brittle.",
    "count": "How many lie side by side.",
    "from_m": _LINE["from_m"],
    "to_m": _LINE["to_m"],
    "strength_N": _STRENGTH,
    "slack_mm": _LINE["slack_mm"],
}

_BOLT = {
    "proposed": _BUILT,
    "face": "The face they come out of, towards the structure.",
    "size": "Across the thread in whole millimetres: M10 is 10 mm.",
    "count": "Count the nuts.",
    "metal": _SCREWS["metal"],
    "into": _TIMBER,
    "member": _SCREWS["member"],
    "thickness_mm": "What the bolt goes through below the weight, without the weight itself.",
    "washer_mm": _SCREWS["washer_mm"],
    "strength_N": _STRENGTH,
    "at_m": "The middle between them. " + _FORWARD_UP,
}

_BOND = {
    "proposed": _BUILT,
    "face": "Which face is stuck down.",
    "adhesive": "As it says on the tube.",
    "strength_N": "Bonds count only with a tested figure: pull a sample piece off with a spring balance.",
    "size_m": "Only what is truly stuck.",
    "at_m": "The middle of what is stuck. " + _FORWARD_UP,
}

_NEIGHBOUR = {
    "proposed": _BUILT,
    "face": "Which face of this weight touches the other.",
    "weight": "The other one's short name.",
    "friction": _FRICTION,
    "slack_mm": _SNUG,
}

_INGOTS = {
    "joined": "Try to shift one by itself with a bar. If it moves they are loose: leave this blank.",
}

_BUNDLE = {
    "stack": "Count them along her, across her, and one on another; together they make the number of ingots.",
    "friction": _FRICTION,
}

_BUNDLE_TIE = {
    "proposed": _BUILT,
    "tie": _TIE["tie"],
    "line": _LINE["line"],
    "count": "How many go round the stack.",
    "around": "Over the top across her, over the top along her, or level round the sides.",
    "tension_N": _LINE["tension_N"],
    "strength_N": _STRENGTH,
}

_SEVERAL = "Several figures with a space between are all tried, each with all the others."

_SCENARIO = {
    "name": "A few words, such as: flat, and she lands hard.",
    "load_factor": "1 is its plain weight. A boat dropped on hard water makes it 2 or 3; falling, she makes it 0. "
    + _SEVERAL,
    "surge_g": "1 g is as hard as gravity pulls; stopping dead from six knots within a foot is about 2. Minus: she is "
    "stopped going ahead. " + _SEVERAL,
    "sway_g": "1 g is as hard as gravity pulls. Minus is to starboard. " + _SEVERAL,
    "heave_g": "1 g is as hard as gravity pulls. Minus is down. " + _SEVERAL,
    "pitch_deg": "A spirit level that measures angles, or guess: 10 is a steep sea. Minus is bow up. " + _SEVERAL,
    "both_sides": "Yes, unless she can only go over to one side.",
    "roll_rate_deg_s": "A roll right over in three seconds is 60 degrees a second. 0 leaves it out.",
    "roll_acceleration_deg_s2": "From rest to 60 degrees a second within half a second is 120. 0 leaves it out.",
    "one_at_a_time": "Yes for a pull with a rope and spring balance, no for the sea.",
    "load_duration": "Ten minutes for a blow, seven days for what may go on longer.",
    "only_if_trailered": "Yes for what happens on the road.",
    "pull_at_most_N": "What the spring balance shows, such as 50 kg.",
    "kinds": "Such as: battery gas. Blank is all of them.",
    "why": "So that you still know next year.",
}

_HEELS = {
    "from": "0 is upright, 90 her mast on the water, 180 upside down.",
    "to": "0 is upright, 90 her mast on the water, 180 upside down.",
    "step": "1 is fine enough for most.",
}

_FINDING = {
    "date": "Year, month, day: 2031-04-05.",
    "note": "As you would tell the yard: two screws weeping, wood soft round the heads.",
    "factor": "100 where it only wants watching; 50 if you would trust half of it; 0 if you would not trust it at all.",
    "fixed": "Yes once it is mended.",
}

HOW: dict[str, dict[str, str]] = {
    "Weight": _WEIGHT, "Lie": _LIE, "Floors": _FLOORS, "Keel": _KEEL,
    "BoatParticulars": _BOAT, "Planking": _PLANKING, "Sole": _SOLE, "Screws": _SCREWS,
    "Bed": _BED, "Pad": _PAD, "Cleat": _CLEAT, "Batten": _BATTEN, "Lashing": _LINE, "Strap": _LINE, "Anchors": _ANCHORS,
    "CableTie": _TIE, "Bolt": _BOLT, "Bond": _BOND, "Neighbour": _NEIGHBOUR, "Ingots": _INGOTS, "Bundle": _BUNDLE,
    "BundleTie": _BUNDLE_TIE, "Scenario": _SCENARIO, "HeelRange": _HEELS, "Finding": _FINDING,
}  # fmt: skip


def how_to_measure(model: str, key: str) -> str:
    """How a figure is come by; empty where nobody has said."""
    return HOW.get(model, {}).get(key, "")
