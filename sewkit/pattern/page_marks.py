"""What belongs to a printed page and not to the pattern: frames, bars, marks of the joins."""

# The layer on which our printed pages have it, and by which bringing in leaves it out.
PAGE_MARKS = "Page marks"
