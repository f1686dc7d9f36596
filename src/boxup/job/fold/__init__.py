"""From entries to state: each entry that stands is told to the job in the order in which things happened.

`engine` keeps steps done, undone and looked at; the other modules tell it of one subject each. Nothing here raises for what an entry
says: an entry that makes no sense is a finding, and the next one is read.
"""

from boxup.job.fold.engine import fold

__all__ = ["fold"]
