"""How the wall of a cast looks: at 380 pixels and at 1400, on light and on dark, on paper.

Words stand at 7:1 or more on what lies behind them.  A light is told by sign and word first
and by colour second.
"""

STYLE = """\
:root { color-scheme: light dark; --back: #f4f2ee; --card: #fff; --ink: #1d2730; --quiet: #424d57;
  --line: #c3ccd3; --thread: #11526a; --cloth: #dbe7ec;
  --good: #0b5d4b; --note: #1d4f8c; --look: #6c4100; --stop: #8f1414; }
@media (prefers-color-scheme: dark) {
  :root { --back: #14191d; --card: #1e262c; --ink: #eef2f5; --quiet: #b9c4cc; --line: #46525b;
    --thread: #8fd0e6; --cloth: #2f4550;
    --good: #7fdcc0; --note: #a8cbff; --look: #ffcf7d; --stop: #ffb3ab; }
}
* { box-sizing: border-box; }
body { margin: 0; background: var(--back); color: var(--ink);
  font: 1rem/1.45 "Source Sans 3", "Segoe UI", "Helvetica Neue", Arial, sans-serif; }
main { max-width: 88rem; margin: 0 auto; padding: 1.25rem 1.25rem 2.5rem; }
h1 { font-size: 1.8rem; line-height: 1.15; margin: 0; }
h2 { font-size: 1.15rem; margin: 1.5rem 0 .6rem; color: var(--thread); }
header { border-bottom: 2px dashed var(--thread); padding-bottom: .6rem; }
.count { margin: .25rem 0 0; color: var(--quiet); font-size: 1.05rem; }
a { color: var(--thread); text-underline-offset: .15em; }
.held-rows ul { margin: 0; padding: .75rem 1rem .75rem 2rem; border-left: .5rem solid var(--stop);
  background: var(--card); }
.wall { list-style: none; margin: 0; padding: 0; display: grid; gap: .9rem;
  grid-template-columns: repeat(auto-fill, minmax(16rem, 1fr)); }
.card { background: var(--card); border: 1px solid var(--line); border-top: .3rem solid var(--line);
  border-radius: .4rem; padding: .7rem .8rem; min-width: 0; overflow-wrap: anywhere; }
.card.good { border-top-color: var(--good); } .card.note { border-top-color: var(--note); }
.card.look { border-top-color: var(--look); } .card.stop { border-top-color: var(--stop); }
.card.held, .card.failed { border: 2px solid var(--stop); border-top-width: .3rem; }
.card h3 { margin: 0 0 .4rem; font-size: 1.05rem; display: flex; justify-content: space-between;
  gap: .5rem; align-items: baseline; flex-wrap: wrap; }
.light { font-weight: 600; font-size: .9rem; white-space: nowrap; border: 1.5px solid; padding: 0 .45rem;
  border-radius: .3rem; }
.good .light { color: var(--good); } .note .light { color: var(--note); border-style: dotted; }
.look .light { color: var(--look); border-style: dashed; }
.stop .light, .held .light, .failed .light { color: var(--card); background: var(--stop);
  border-color: var(--stop); }
svg { display: block; width: 100%; height: auto; }
polygon { fill: var(--cloth); stroke: var(--thread); stroke-width: 1.5; stroke-linejoin: round;
  vector-effect: non-scaling-stroke; }
.made { margin: .4rem 0 0; color: var(--quiet); font-size: .95rem; }
.words, .prints { margin: .4rem 0 0; }
details { margin-top: .3rem; font-size: .95rem; }
summary { cursor: pointer; color: var(--look); padding: .25rem 0; }
details ul { margin: .2rem 0 0; padding-left: 1.1rem; }
footer { margin-top: 2rem; color: var(--quiet); font-size: .9rem; border-top: 1px solid var(--line); }
@media (max-width: 38rem) {
  main { padding: 1rem .75rem 2rem; }
  .wall { grid-template-columns: repeat(2, minmax(0, 1fr)); gap: .6rem; }
  .card { padding: .5rem .55rem; }
  .card.held, .card.failed { grid-column: 1 / -1; }
}
@media print {
  body { background: #fff; }
  .wall { grid-template-columns: repeat(4, 1fr); }
  .card { break-inside: avoid; }
}
"""
