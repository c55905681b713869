"""The printed sheet: what came out of a bought PDF, on its way to becoming a pattern.

Glossary, in the trade's words:

page      one sheet of paper as the PDF has it.
tile      a page that shows a part of one larger sheet.
trim      the line along which a tile is cut before it is joined to the next one.
overlap   the strip that two neighbouring tiles both show.
furniture what every page carries beside the pattern: frame, page number, logo.
island    tiles that are proved to hang together; where islands lie is a matter of looks.
line      one drawn stroke; a whole line is what the designer drew, before dashes and tiles cut it.
group     lines that look alike: one layer, or one colour, weight and dash; usually one size.
nest      one piece in all its sizes, drawn over each other.
witness   something of known size that proves the scale: a test square, a ruler, a paper size.
"""
