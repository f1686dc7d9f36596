"""`python -m boxup.demo [--once] [--new] [--port N]`: the main job on the demo exchangers.

Writes the focus exchanger's pack and prints its path; then, without --once, serves the pages of the invented jobs on this machine.
"""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from typing import NoReturn

from boxup.demo.fleet import FOCUS, files_of_the_demo
from boxup.paper.pack import pack
from boxup.store.base import StoreError

OUT = Path("build")


def main(args: list[str]) -> int:
    """The job pack of the focus exchanger under build/, then the pages until Ctrl-C."""
    asked = _asked(args)
    if asked is None:
        return 2
    OUT.mkdir(exist_ok=True)
    focus = files_of_the_demo()[FOCUS]
    out = OUT / f"{FOCUS}-pack.pdf"
    out.write_bytes(pack(focus, paper="A4"))
    print(f"The job pack of {FOCUS} (invented) is written: {out.resolve()}", flush=True)
    if asked.once:
        return 0
    from boxup.demo.serve import serve_demo

    try:
        serve_demo(OUT, asked.port, new=asked.new, say=lambda text: print(text, flush=True))
    except StoreError as bad:
        print(f"demo: {bad}")
        return 2
    return 0


class _Words(argparse.ArgumentParser):
    def error(self, message: str) -> NoReturn:
        raise ValueError(message)


def _asked(args: list[str]) -> argparse.Namespace | None:
    """The words after `demo`; None, with a sentence, where they cannot be understood."""
    words = _Words(prog="demo", add_help=False, allow_abbrev=False)
    words.add_argument("--once", action="store_true")
    words.add_argument("--new", action="store_true")
    words.add_argument("--port", type=int)
    try:
        asked, unknown = words.parse_known_args(args)
        if unknown or not 0 <= (asked.port or 0) <= 65535:
            raise ValueError
    except ValueError:
        print(f"demo: {' '.join(args)} is not understood; accepted: --once (the pack only), --new (a new record), --port N")
        return None
    return asked


if __name__ == "__main__":
    try:
        code = main(sys.argv[1:])
    except KeyboardInterrupt:  # before the pages are served; from then on it is how they are stopped
        code = 130
    sys.exit(code)
