"""Every numeric threshold of the geometry, named, with its unit and its reason."""

# Two ends nearer than this are one node (mm).  A thousandth of the finest promise
# (0.01 mm), and far above float64 rounding on a sheet ten metres wide (2e-12 mm).
SAME_POINT = 1e-5

# Largest deviation of a fitted curve from the true one (mm).  Below a pencil's width
# by a factor of fifty.  Ten times finer costs about a sixth more curves.
FIT = 0.01

# A curve whose handles stray less than this from its chord is a straight line (mm).
STRAIGHT = 1e-6

# Below this turn (degrees) two curves meet without a corner: hand-drawn and
# imported curves carry kinks of about one degree that nobody drew on purpose.
SMOOTH_JOINT = 2.0

# Above this turn (degrees) a node is a corner at which one edge ends and the next
# begins.  Curves split by an editor stay below it, true corners are far above.
CORNER_TURN = 12.0

# Handles shorter than this part of the curve's size give no direction; the
# next control point does.
NO_HANDLE = 1e-9

# What "exact" means for a crossing or a touch (mm): a thousand times the rounding of
# float64 on a sheet ten metres wide, and still far below anything that can be seen.
EXACT = 1e-9

# Part of the tolerance that a fit may use up as seen at its samples.  Two thirds, so that
# an allowance put on and taken off again comes back within one tolerance (measured);
# against nearly all of it this costs one more curve in thirty.
FIT_MARGIN = 0.65

# How far the chords of a sampled parallel curve may stray from it (mm).  Crossings
# are looked for on the chords and then found exactly; a loop shallower than this
# may stay unnoticed.  Halving it costs 1.4 times the chords.
CHORD = 0.02

# Below this turn (degrees) edges of different widths do not meet at a corner: their
# cut edges would cross far away.  A step across the seam takes its place.
BUTT_TURN = 10.0

# Sine of the angle below which two directions count as parallel: they would meet beyond
# ten thousand kilometres.  Ten thousand times the rounding of a cross product.
PARALLEL = 1e-12
