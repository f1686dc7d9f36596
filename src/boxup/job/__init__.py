"""Order of work: which steps this exchanger has, what stands before what and why, and what may be done now.

`condition` reads the small grammar, `flags` settles letters and options, `steps` holds the cards, `scope` says which steps and
items exist, `rules` says what needs what, `order` puts them in a line, `may` answers "may I?", `card` explains one step.
"""
