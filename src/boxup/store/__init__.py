"""The record on disk: events are added and read, never changed, and `verify` shows that nobody changed them behind our back.

`open` finds the store a name stands for, `base` says what every store does, `entry` is one event as its kept texts, `walk` follows the
chains, `export` writes and reads the file that outlives any database. SQLite: `sqlite` adds and reads, `file` opens, `verify` looks at
everything, with `anew` for bytes no entry uses and `wal` for the log beside the file.
"""
