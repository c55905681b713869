"""A whole cast in one command: a table of people and one master or several, a pack for each.

asked       what was asked for: people, garments, choices
fitted      one person's pieces
one_row     one row from its measures to its finished pack, wherever it runs
executors   who does the work: this process, many, or a cluster
cast        all rows, in whatever order they are done, one bad row never stopping another
progress    how far it has come
command     the command ``sewkit batch``
"""
