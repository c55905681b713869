"""Facings of pleated edges, and the bracket of a facing on the fold: worked by hand."""

import numpy as np
import pytest

from sewkit.errors import InputError
from sewkit.geometry.path import Path
from sewkit.geometry.polygon import signed_area
from sewkit.operations.facing import facing
from sewkit.operations.gather import gather
from sewkit.pattern.mark import FOLD
from sewkit.pattern.pattern import Pattern
from sewkit.report import Level
from tests.operations.pieces import named


def test_a_facing_along_pleats_is_cut_with_them_folded():
    """400 mm with four knife pleats of 25: 200 as sewn, so a strip of 200 by 50 with square ends."""
    spots = [(0, 0), (400, 0), (400, 500), (0, 500)]
    skirt = named(Path.through(spots, closed=True), "waist side hem centre", "skirt")
    pleated = gather(Pattern((skirt,)), kind="knife", edge="waist", count=4, depth=25.0).pattern
    done = facing(pleated, edges="skirt/waist", width=50.0)
    (outline,) = done.pattern.piece("skirt-waist-facing").outlines
    sides = np.ptp(outline.path.nodes, axis=0)
    assert sides == pytest.approx([200.0, 50.0], abs=1e-3)
    assert abs(signed_area(outline.path)) == pytest.approx(200.0 * 50.0, abs=0.1)
    assert done.report.worst <= Level.INFO


def test_a_facing_on_the_fold_has_its_bracket():
    spots = [(0, 0), (200, 0), (200, 500), (0, 500)]
    piece = named(Path.through(spots, closed=True), "neck side hem fold", "back")._replace(folds=("fold",))
    done = facing(Pattern((piece,)), edges="back/neck", width=50.0).pattern.piece("back-neck-facing")
    (mark,) = [one for one in done.marks if one.kind == FOLD]
    # The edge is 50 mm long, and the bracket lies beside it.
    assert 0.0 < np.ptp(mark.path.nodes[:, 1]) < 50.0


def test_where_it_cannot_be_cut_so_it_is_said_what_to_do():
    """Two pleats of 25 leave 20 of 120 mm, less than the 60 mm by which the sides lean in over 50 mm."""
    spots = [(0, 0), (120, 0), (60, 100), (59, 100)]
    wedge = named(Path.through(spots, closed=True), "waist side hem centre", "wedge")
    pleated = gather(Pattern((wedge,)), kind="knife", edge="waist", count=2, depth=25.0).pattern
    with pytest.raises(InputError, match="With its pleats folded"):
        facing(pleated, edges="wedge/waist", width=50.0)
