"""The picture of a finished job: the sheet as it was brought in, or the pieces before and after."""

from sewkit.files.job import Done
from sewkit.files.picture import before_after
from sewkit.files.picture_changes import findings_shown, lines_changed


def picture_of(done: Done, title: str) -> str:
    """The sheet as it was brought in, where that is all; else before and after.

    The steps say which lines to show, else those that changed.  Where nothing changed the places
    that a check drew are shown, under their numbers.
    """
    if done.brought is not None and done.before is done.after:
        from sewkit.files.picture_sheet import sheet_picture  # only an import needs it

        return sheet_picture(done.brought, done.brought.pattern.title or title)
    *old, new = done.report.lines or lines_changed(done.before, done.after)
    labels = done.report.changes or findings_shown(done.report.findings, done.after)
    return before_after(done.before, done.after, old, new, labels, title)
