"""A report as one HTML page that needs nothing else: to read, to print, to keep with the garment."""

import html
import re
from typing import List, Optional, Tuple

from sewkit.files.report_style import STYLE
from sewkit.files.report_words import (
    CAUTIONS,
    SIGNS,
    counted,
    one_line,
    place,
    row_levels,
    shown_table,
    told_change,
    verdict,
)
from sewkit.report import Finding, Level, Report, Table

_PAGE = """<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8"/>
<meta name="viewport" content="width=device-width, initial-scale=1"/>
<meta http-equiv="Content-Security-Policy"
 content="default-src 'none'; style-src 'unsafe-inline'; img-src data:"/>
<title>{title}</title>
<style>
{style}</style>
</head>
<body>
<main>
{body}
</main>
</body>
</html>
"""

_CAPTION = (
    "Drawn to scale: measure it against the scale bar in it."
    '<span class="sideways"> Wipe it sideways to see all of it.</span>'
)

# What may stand in front of the picture's own element.
_PROLOGUE = re.compile(r"^\s*(<\?xml[^>]*\?>)?\s*(<!--.*?-->\s*)*(<!DOCTYPE[^>]*>)?\s*", re.DOTALL)


def as_html(report: Report, title: str, subtitle: str = "", picture_svg: str = "") -> str:
    """Write a report as a self-contained page, well-formed also as XML.

    Args:
        report: what there is to tell; lengths are mm where they name no unit.
        title: the garment and the person, such as "Waistcoat for P03".
        subtitle: the line below, such as the recipe and the date.
        picture_svg: an SVG document to show; it is put in as it is, so it must be our own.
    """
    parts = [
        _header(title, subtitle),
        _verdict(report),
        "<p>{}</p>".format(_text(report.summary)) if report.summary else "",
        _figure(picture_svg),
        _findings(report),
        _changes(report),
        *(_table(shown_table(table)) for table in report.tables),
        _cautions(),
    ]
    body = "\n".join(part for part in parts if part)
    return _PAGE.format(title=_text(title), style=STYLE, body=body)


def _text(words: str) -> str:
    return html.escape(one_line(words))


def _level(level: Level) -> str:
    """A level as sign and word; the colour only comes on top."""
    return '<strong class="level {word}"><span aria-hidden="true">{sign}</span> {word}</strong>'.format(
        word=level.word, sign=SIGNS[level]
    )


def _header(title: str, subtitle: str) -> str:
    below = '<p class="subtitle">{}</p>'.format(_text(subtitle)) if subtitle else ""
    return "<header><h1>{}</h1>{}</header>".format(_text(title), below)


def _verdict(report: Report) -> str:
    if not report.findings:
        return '<p class="verdict unchecked">{}</p>'.format(_text(verdict(report)))
    return '<p class="verdict {}">{} {} <span class="counted">{}</span></p>'.format(
        report.worst.word, _level(report.worst), _text(verdict(report)), _text(counted(report))
    )


def _figure(picture: str) -> str:
    if not picture:
        return ""
    drawing = _PROLOGUE.sub("", picture, count=1).strip()
    return '<figure><div class="drawing" tabindex="0">{}</div><figcaption>{}</figcaption></figure>'.format(
        drawing, _CAPTION
    )


def _findings(report: Report) -> str:
    if not report.findings:
        return ""
    lines = "\n".join(_finding(finding) for finding in report.findings)
    return '<section><h2>What was found</h2>\n<ul class="findings">\n{}\n</ul></section>'.format(lines)


def _finding(finding: Finding) -> str:
    where = place(finding)
    number = "<b>{}.</b> ".format(finding.number) if finding.number else ""
    shown = number + ('<b class="where">{}</b> '.format(_text(where)) if where else "")
    cure = '<br/><span class="cure">To mend it: {}</span>'.format(_text(finding.cure)) if finding.cure else ""
    return '<li class="{}">{} <span>{}{}{}</span></li>'.format(
        finding.level.word, _level(finding.level), shown, _text(finding.text), cure
    )


def _changes(report: Report) -> str:
    if not report.changes:
        return ""
    lines = "\n".join(
        "<li><b>{}</b> {}</li>".format(_text(change.piece), _text(told_change(change.text)))
        for change in report.changes
    )
    return "<section><h2>What changed</h2>\n<ul>\n{}\n</ul></section>".format(lines)


def _table(table: Table) -> str:
    if not table.columns:  # what there is to say stands in the title
        return "<p>{}</p>".format(_text(table.title))
    levels = row_levels(table)
    graded = any(level is not None for level in levels)
    heads = [_text(column) for column in table.columns] + (["Result"] if graded else [])
    head = "".join('<th scope="col">{}</th>'.format(text) for text in heads)
    rows = "\n".join(_row(row, heads, level, graded) for row, level in zip(table.rows, levels))
    return (
        '<section><h2>{}</h2>\n<div class="wide" tabindex="0"><table>\n<thead><tr>{}</tr></thead>\n'
        "<tbody>\n{}\n</tbody></table></div></section>"
    ).format(_text(table.title), head, rows)


def _row(row: Tuple[str, ...], heads: List[str], level: Optional[Level], graded: bool) -> str:
    cells = [_text(cell) for cell in row]
    if graded:
        cells.append(_level(level) if level is not None else "")
    names = heads + [""] * (len(cells) - len(heads))
    written = "".join('<td data-name="{}">{}</td>'.format(name, cell) for name, cell in zip(names, cells))
    return '<tr class="{}">{}</tr>'.format(level.word if level is not None else "plain", written)


def _cautions() -> str:
    lines = "\n".join("<li>{}</li>".format(_text(caution)) for caution in CAUTIONS)
    return '<aside class="caution"><h2>Before you cut</h2>\n<ul>\n{}\n</ul></aside>'.format(lines)
