"""How a report page looks: on a screen by day or by night, on a telephone, on A4 paper.

Text stands out from its ground by at least 7:1 in both.  The four levels differ in sign and
word first and in colour second; the colours stay apart for colour-blind eyes and in grey.  A
picture keeps its white paper by night too: it is a drawing to measure on.
"""

STYLE = """\
:root { color-scheme: light dark; --paper: #fff; --ink: #1d2730; --quiet: #4a5661; --line: #c3ccd3;
  --thread: #17607a; --good: #0b5d4b; --good-ground: #e8f4f0; --note: #1d4f8c; --note-ground: #e9f0f9;
  --look: #7a4a00; --look-ground: #fff5dc; --look-edge: #b77700; --stop: #8f1414; --stop-ink: #fff;
  --stop-ground: #fbe9e7; --unchecked: #f5f7f8; }
@media (prefers-color-scheme: dark) {
  :root { --paper: #14191d; --ink: #eef2f4; --quiet: #b9c4cc; --line: #3d4a53;
    --thread: #8fd0e6; --good: #8edcc4; --good-ground: #12302a; --note: #a9cdf7; --note-ground: #16283d;
    --look: #f5c978; --look-ground: #352709; --look-edge: #d99a2b; --stop: #ffb4ab; --stop-ink: #14191d;
    --stop-ground: #421714; --unchecked: #1e262c; }
}
* { box-sizing: border-box; }
body { margin: 0; background: var(--paper); color: var(--ink);
  font: 1rem/1.5 "Source Sans 3", "Segoe UI", "Helvetica Neue", Arial, sans-serif; }
main { max-width: 62rem; margin: 0 auto; padding: 1.5rem 1.25rem 3rem; overflow-wrap: break-word; }
h1 { font-size: 1.9rem; line-height: 1.15; margin: 0; }
h2 { font-size: 1.15rem; margin: 2rem 0 .5rem; color: var(--thread); }
header { border-bottom: 2px dashed var(--thread); padding-bottom: .75rem; margin-bottom: 1.25rem; }
.subtitle { margin: .25rem 0 0; color: var(--quiet); }
ul { padding-left: 1.2rem; }
li { margin: .3rem 0; }
.level { display: inline-block; min-width: 4.2rem; padding: 0 .5rem; border: 1.5px solid;
  border-radius: .3rem; font-weight: 600; white-space: nowrap; background: var(--paper); }
.level span { display: inline-block; width: 1.1em; text-align: center; }
.level.good { color: var(--good); border-style: solid; }
.level.note { color: var(--note); border-style: dotted; }
.level.look { color: var(--look); border-style: dashed; }
.level.stop { color: var(--stop-ink); background: var(--stop); border-color: var(--stop); }
.verdict { margin: 0 0 1rem; padding: .75rem 1rem; border-left: .5rem solid; font-size: 1.1rem; }
.verdict.good { border-color: var(--good); background: var(--good-ground); }
.verdict.note { border-color: var(--note); background: var(--note-ground); }
.verdict.look { border-color: var(--look-edge); background: var(--look-ground); }
.verdict.stop { border-color: var(--stop); background: var(--stop-ground); }
.verdict.unchecked { border-color: var(--line); background: var(--unchecked); }
.counted { display: block; font-size: .95rem; margin-top: .25rem; }
.findings { list-style: none; padding: 0; margin: 0; }
.findings li { display: flex; gap: .75rem; align-items: flex-start; padding: .5rem 0; margin: 0;
  border-top: 1px solid var(--line); }
.findings .level { flex: none; }
.findings li > span { min-width: 0; }
.cure { color: var(--quiet); }
figure { margin: 1.25rem 0; }
figure svg { display: block; width: 100%; height: auto; max-height: 90vh; background: #fff;
  border-radius: .4rem; }
figcaption { color: var(--quiet); font-size: .9rem; margin-top: .4rem; }
.sideways { display: none; }
.wide { overflow-x: auto; }
table { border-collapse: collapse; width: 100%; font-variant-numeric: tabular-nums; }
th, td { text-align: left; vertical-align: top; padding: .35rem .75rem .35rem 0;
  border-bottom: 1px solid var(--line); }
th { color: var(--quiet); font-weight: 600; border-bottom: 2px solid var(--line); }
.caution { margin-top: 2.5rem; padding: .25rem 1.25rem 1rem; border: 2px solid var(--look-edge);
  border-radius: .4rem; }
.caution h2 { margin-top: 1rem; color: var(--look); }
@media (max-width: 38rem) {
  main { padding: 1rem .9rem 2rem; }
  .drawing { overflow-x: auto; }
  figure svg { min-width: 44rem; max-height: none; }
  .sideways { display: inline; }
  .findings li { display: block; }
  .findings .level { margin-bottom: .2rem; }
  table, tbody { display: block; }
  thead { position: absolute; left: -200rem; }
  tr { display: flex; flex-wrap: wrap; gap: 0 1.1rem; padding: .5rem 0;
    border-bottom: 1px solid var(--line); }
  td { border: 0; padding: .1rem 0; overflow-wrap: anywhere; }
  td:first-child { flex: 1 0 100%; font-weight: 600; }
  td:first-child::before { display: none; }
  td::before { content: attr(data-name) " "; color: var(--quiet); font-weight: 400; }
  td:empty { display: none; }
}
@media print {
  @page { size: A4; margin: 15mm; }
  :root { color-scheme: light; --paper: #fff; --ink: #1d2730; --quiet: #4a5661; --line: #c3ccd3;
    --thread: #17607a; --good: #0b5d4b; --good-ground: #e8f4f0; --note: #1d4f8c;
    --note-ground: #e9f0f9; --look: #7a4a00; --look-ground: #fff5dc; --look-edge: #b77700;
    --stop: #8f1414; --stop-ink: #fff; --stop-ground: #fbe9e7; --unchecked: #f5f7f8; }
  body { font-size: 10.5pt; -webkit-print-color-adjust: exact; print-color-adjust: exact; }
  main { max-width: none; padding: 0; }
  .drawing, .wide { overflow: visible; }
  figure svg { min-width: 0; max-height: 235mm; }
  .sideways { display: none; }
  h2 { break-after: avoid; }
  tr, li, figure, .caution, .verdict { break-inside: avoid; }
  thead { display: table-header-group; }
}
"""
