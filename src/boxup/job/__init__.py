"""Order of work: which steps this exchanger has, what stands before what and why, and what may be done now.

`condition` reads the small grammar, `only` which items are meant, `flags` settles letters and options, `steps` holds the cards, `wording`
their sentences for one exchanger, `scope` says which steps and items exist, `rules` says what needs what, `order` puts them in a line,
`may` answers "may I?", `card` explains one step, `lists` takes the items from an exchanger, `picture` says how it looks after a step.
"""
