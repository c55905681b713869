"""The pattern: what the lines on the sheet mean.

Glossary, in the trade's words:

pattern   all pieces of one garment, and which edge is sewn to which.
piece     one shape to cut: front, back, facing; drawn once or in several sizes.
size      the name of one line of the nest: "3", "12", or a person's own "P03".
outline   a piece's seam line in one size: the truth from which all else follows.
cut line  where the scissors go; always derived from outline, widths and corners.
corner    a node where the outline turns sharply; edges run from corner to corner.
edge      a named run of the outline: side, shoulder, armhole.
fold      an edge laid on the fold of the cloth; it has no allowance.
hem       an edge that is turned up; its allowance is mirrored at its ends.
dart      two legs taken out of an edge; never counted in its length.
intake    how wide the mouth of a dart is, straight across between the ends of its legs.
apex      the spot about which a dart turns; its point lies a little short of it.
pressed   the side to which the intake of a sewn dart lies: centre, side, up or down.
cap       what stands out over the mouth of a dart, so that its pressed intake is cut with the edge.
mark      notch, grain line, level line, drill hole, inner line, label.
level     a named line across a piece: chest, waist, hip.
seam      an edge (or several end to end) sewn to another, with the ease meant.
ease      how much longer the first edge of a seam is on purpose.
"""
