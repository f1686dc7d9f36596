"""The record: what happened, who did it, when, and proof that nobody changed it since. Knows only core; no state is worked out here.

`event` is one line of the record, `kinds` what each line must say, `typed` reads a person's words into it, `canonical` the one way it is
written and hashed, `upcast` reads the lines of older versions, `effective` says which lines stand after corrections.
"""
