"""Curves on a sheet; nothing here knows a sewing word.

Conventions, once and for all:

* Lengths are millimetres, x to the right, y **down**, as on the drawing.
* A point is an array ``(2,)``; points are ``(n, 2)``; all float64.
* A curve is a cubic Bezier, an array ``(4, 2)``; a straight line is a cubic whose
  handles lie on it.  A path is ``(n, 4, 2)``: see ``path``.
* Angles are degrees, clockwise as seen on the sheet (because y points down).
* A closed path that runs clockwise on the sheet has a positive area.
* Arrays are never written into; every function returns a new value.
* A function that approximates takes ``tolerance`` in millimetres; one without
  it is exact to rounding.
"""
