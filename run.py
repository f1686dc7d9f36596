"""One door to the project, for a machine that has only Python 3.11 or newer.

    python3 run.py demo [--once]     the job pack of the demo exchanger, then the pages (--once: the pack only)
    python3 run.py boxup ...         any boxup command
    python3 run.py test [PATH ...]   lint, types and every test; with paths or pytest options, only those tests
    python3 run.py pictures [...]    contact sheets of every drawing and sheet, into build/pictures
    python3 run.py bench [...]       how long the commands take, beside their goals
    python3 run.py pin               writes constraints.txt anew from pyproject.toml

On Windows: py run.py demo. Standard library only. The first start makes .venv (what a crew needs) or .venv-test (what a developer
needs besides); a later start only compares a stamp.
"""

from __future__ import annotations

import os
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent
OLDEST = (3, 11)  # pyproject.toml says the same; this file must be readable by an older Python to be able to say so
SCRIPTS, SUFFIX = ("Scripts", ".exe") if os.name == "nt" else ("bin", "")
EXTRAS = {".venv": "", ".venv-test": "[test]"}
PINS = ROOT / "constraints.txt"


class Trouble(Exception):
    """A sentence for the person at the keyboard: what is missing and what to do."""


def main(words: list[str]) -> int:
    """Do what the first word says; the exit code is that of the command behind it."""
    if sys.version_info < OLDEST:
        raise Trouble(f"Boxup needs Python 3.11 or newer; {sys.executable} is {sys.version.split()[0]}. Start run.py with a newer one.")
    if not words or words[0] in ("-h", "--help", "help"):
        print(__doc__)
        return 0
    word, rest = words[0], words[1:]
    if word == "demo":
        return become(program(".venv", "python"), "-m", "boxup.demo", *rest)
    if word == "boxup":
        return become(program(".venv", "boxup"), *rest)
    if word in ("pictures", "bench"):
        return become(program(".venv-test", "python"), str(ROOT / "tools" / f"{word}.py"), *rest)
    if word == "test":
        return test(rest)
    if word == "pin":
        return pin()
    raise Trouble(f"run.py does not know '{word}'. It knows: demo, boxup, test, pictures, bench, pin.")


def test(selection: list[str]) -> int:
    """Every check of the project, pytest last so that its closing line closes the output; 0 only when all of them passed."""
    python = program(".venv-test", "python")
    os.chdir(ROOT)
    if selection:
        return become(python, "-m", "pytest", *selection)
    if call(python, "tools/browser.py"):
        return 1
    checks = {"ruff": ["check", "."], "mypy": [], "pytest": ["-n", "auto", "--dist", "loadfile", "--no-loadscope-reorder"]}
    failed = [name for name, words in checks.items() if call(python, "-m", name, *words)]
    if failed:
        print(f"Failed: {', '.join(failed)}.", file=sys.stderr)
    return 1 if failed else 0


def pin() -> int:
    """Resolve every dependency, extras included, for every system and Python we support; newest releases win."""
    uv = find_uv()
    if uv is None:
        raise Trouble("Pinning needs uv, and it could not be had. Install uv, then start run.py again.")
    os.chdir(ROOT)
    words = ["--universal", "--python-version", "3.11", "--all-extras", "--no-header", "--upgrade", "--quiet", "-o", PINS.name]
    return call(uv, "pip", "compile", "pyproject.toml", *words)


def program(name: str, command: str) -> str:
    """The full path of a command in one of our environments, which is made or brought up to date first."""
    place = ROOT / name
    stamp = place / "boxup-stamp"
    home, wanted = f"{ROOT} {sys.version}", fingerprint()
    found = stamp.read_text("utf-8").split("\n") if stamp.exists() else []
    if found != [home, wanted]:
        fresh = found[:1] != [home]  # never finished, moved, or of another Python: nothing in it can be relied on
        stamp.unlink(missing_ok=True)
        install(place, EXTRAS[name], fresh)
        stamp.write_text(f"{home}\n{wanted}", "utf-8")
    return str(place / SCRIPTS / (command + SUFFIX))


def fingerprint() -> str:
    """Changes when what must be installed changes."""
    import zlib

    return f"{zlib.crc32((ROOT / 'pyproject.toml').read_bytes() + PINS.read_bytes()):08x}"


def install(place: Path, extra: str, fresh: bool) -> None:
    """Put Boxup and what it needs into one environment: by uv in seconds, else by pip."""
    import shutil

    print(f"Setting up {place.name}, once.", file=sys.stderr, flush=True)
    what = ["-c", str(PINS), "-e", f"{ROOT}{extra}"]
    python = str(place / SCRIPTS / ("python" + SUFFIX))
    if fresh and place.exists():
        shutil.rmtree(place)
    uv = find_uv()
    if uv and install_by_uv(uv, place, python, what):
        return
    print("Without uv: installing by pip, which takes longer.", file=sys.stderr, flush=True)
    make_environment(place)
    if call(python, "-m", "pip", "install", "--quiet", *what):
        raise Trouble(f"Boxup's packages could not be installed into {place}; the lines above say why. Is there a network?")


def install_by_uv(uv: str, place: Path, python: str, what: list[str]) -> bool:
    """Whether uv made the environment, where there is none yet, and filled it."""
    made = place.exists() or call(uv, "venv", "--quiet", "--python", sys.executable, str(place)) == 0
    return made and call(uv, "pip", "install", "--quiet", "--python", python, *what) == 0


def find_uv() -> str | None:
    """The uv on this machine, else one of our own in .venv-uv, else none: then pip does the work."""
    import shutil

    place = ROOT / ".venv-uv"
    own = place / SCRIPTS / ("uv" + SUFFIX)
    on_path = shutil.which("uv")
    if on_path or own.exists():
        return on_path or str(own)
    make_environment(place)
    got = call(str(place / SCRIPTS / ("python" + SUFFIX)), "-m", "pip", "install", "--quiet", "uv") == 0
    return str(own) if got and own.exists() else None


def make_environment(place: Path) -> None:
    """A virtual environment with pip, by the standard library."""
    from importlib.util import find_spec

    missing = [name for name in ("venv", "ensurepip") if find_spec(name) is None]
    if missing:
        raise Trouble(
            f"This Python ({sys.executable}) cannot make an environment: {' and '.join(missing)} missing. "
            "On Debian or Ubuntu: apt install python3-venv. Elsewhere: install Python from its own installer. Then start run.py again."
        )
    if call(sys.executable, "-m", "venv", "--clear", str(place)):
        raise Trouble(f"No environment could be made in {place}; the lines above say why. Is the disk full, or the folder write-protected?")


def call(*words: str) -> int:
    """Run a command with our own output and wait for its exit code."""
    import subprocess

    sys.stdout.flush()
    return subprocess.call(words)


def become(*words: str) -> int:
    """Turn into the command, so that nothing of run.py stays in its way; Windows has no such call and waits instead."""
    sys.stdout.flush()
    if os.name != "nt":
        os.execv(words[0], words)
    return call(*words)


if __name__ == "__main__":
    try:
        code = main(sys.argv[1:])
    except Trouble as trouble:
        print(trouble, file=sys.stderr)
        code = 2
    except KeyboardInterrupt:
        code = 130
    sys.exit(code)
