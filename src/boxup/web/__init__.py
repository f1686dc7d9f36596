"""The pages: a server for one machine or one site hut. Plain HTML from plain data; nothing is kept here, all of it is in the record."""
