"""How a report page looks: on a screen, on a telephone, on A4 paper.

Text is dark on white throughout, at least 7:1.  The four levels differ in sign and word
first and in colour second; the colours stay apart for colour-blind eyes and in grey.
"""

STYLE = """\
:root { --ink: #1d2730; --quiet: #4a5661; --line: #c3ccd3; --thread: #17607a; }
* { box-sizing: border-box; }
body { margin: 0; background: #fff; color: var(--ink);
  font: 1rem/1.5 "Source Sans 3", "Segoe UI", "Helvetica Neue", Arial, sans-serif; }
main { max-width: 62rem; margin: 0 auto; padding: 1.5rem 1.25rem 3rem; }
h1 { font-size: 1.9rem; line-height: 1.15; margin: 0; }
h2 { font-size: 1.15rem; margin: 2rem 0 .5rem; color: var(--thread); }
header { border-bottom: 2px dashed var(--thread); padding-bottom: .75rem; margin-bottom: 1.25rem; }
.subtitle { margin: .25rem 0 0; color: var(--quiet); }
ul { padding-left: 1.2rem; }
li { margin: .3rem 0; }
.level { display: inline-block; min-width: 4.2rem; padding: 0 .5rem; border: 1.5px solid;
  border-radius: .3rem; font-weight: 600; white-space: nowrap; background: #fff; }
.level span { display: inline-block; width: 1.1em; text-align: center; }
.level.good { color: #0b5d4b; border-style: solid; }
.level.note { color: #1d4f8c; border-style: dotted; }
.level.look { color: #7a4a00; border-style: dashed; }
.level.stop { color: #fff; background: #8f1414; border-color: #8f1414; }
.verdict { margin: 0 0 1rem; padding: .75rem 1rem; border-left: .5rem solid; font-size: 1.1rem; }
.verdict.good { border-color: #0b5d4b; background: #e8f4f0; }
.verdict.note { border-color: #1d4f8c; background: #e9f0f9; }
.verdict.look { border-color: #b77700; background: #fff5dc; }
.verdict.stop { border-color: #8f1414; background: #fbe9e7; }
.verdict.unchecked { border-color: var(--line); background: #f5f7f8; }
.findings { list-style: none; padding: 0; margin: 0; }
.findings li { display: flex; gap: .75rem; align-items: flex-start; padding: .5rem 0; margin: 0;
  border-top: 1px solid var(--line); }
.findings .level { flex: none; }
figure { margin: 1.25rem 0; }
figure svg { display: block; width: 100%; height: auto; max-height: 90vh; }
figcaption { color: var(--quiet); font-size: .9rem; margin-top: .4rem; }
.wide { overflow-x: auto; }
table { border-collapse: collapse; width: 100%; font-variant-numeric: tabular-nums; }
th, td { text-align: left; vertical-align: top; padding: .35rem .75rem .35rem 0;
  border-bottom: 1px solid var(--line); }
th { color: var(--quiet); font-weight: 600; border-bottom: 2px solid var(--line); }
.caution { margin-top: 2.5rem; padding: .25rem 1.25rem 1rem; border: 2px solid #b77700;
  border-radius: .4rem; }
.caution h2 { margin-top: 1rem; color: #7a4a00; }
@media (max-width: 38rem) {
  main { padding: 1rem .9rem 2rem; }
  figure { overflow-x: auto; }
  figure svg { min-width: 44rem; max-height: none; }
  .findings li { display: block; }
  .findings .level { margin-bottom: .2rem; }
  table, tbody, tr, td { display: block; }
  thead { position: absolute; left: -200rem; }
  tr { padding: .5rem 0; border-bottom: 2px solid var(--line); }
  td { border: 0; padding: .1rem 0; }
  td::before { content: attr(data-name) ": "; color: var(--quiet); }
  td[data-name=""]::before { content: ""; }
}
@media print {
  @page { size: A4; margin: 15mm; }
  body { font-size: 10.5pt; -webkit-print-color-adjust: exact; print-color-adjust: exact; }
  main { max-width: none; padding: 0; }
  figure, .wide { overflow: visible; }
  figure svg { min-width: 0; max-height: 235mm; }
  h2 { break-after: avoid; }
  tr, li, figure, .caution, .verdict { break-inside: avoid; }
  thead { display: table-header-group; }
}
"""
