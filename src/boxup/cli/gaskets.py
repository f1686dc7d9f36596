"""`boxup gaskets`: the gasket set of one exchanger, with drawings."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from boxup.cli.live import DB, as_it_is
from boxup.cli.refusal import Refusal
from boxup.cli.write import write

if TYPE_CHECKING:
    from boxup.exchanger.model import Exchanger


@click.command("gaskets")
@click.argument("file", type=click.Path())
@click.option("--drawings", type=click.Path(file_okay=False), help="A folder for the drawings, as SVG.")
@click.option("--json", "as_json", is_flag=True, help="For machines.")
@DB
def gaskets_command(file: str, drawings: str | None, as_json: bool, db: str | None) -> None:
    """The gasket set: item, joint, what it follows, size, ribs; with drawings."""
    x = as_it_is(file, db)
    rows = [_gasket(x, j) for j in x.joints if j.gasket]
    click.echo(json.dumps(rows, ensure_ascii=False, indent=1) if as_json else "\n".join(_gasket_lines(rows)))
    if drawings:
        from boxup.drawing.gasket import gasket

        try:
            Path(drawings).mkdir(parents=True, exist_ok=True)
        except OSError as bad:
            raise Refusal([f"the folder {drawings} cannot be made: {bad.strerror}. Give one that is open to you."]) from bad
        for j in x.joints:
            if j.gasket:
                to = Path(drawings) / f"{x.identity.tag}-{j.gasket.id}-{j.id}.svg"
                write(to, gasket(x, j))
                click.echo(f"{to} is written.", err=as_json)


def _gasket(x: Exchanger, j: Any) -> dict[str, Any]:
    from boxup.drawing.gasket import plain_ring

    g, tag, serial = j.gasket, x.identity.tag, x.identity.bundle_serial
    follows = f"bundle {serial or '?'}" if g.follows == "bundle" else f"exchanger {tag}"
    return {
        "item": g.id,
        "joint": j.id,
        "between": j.between,
        "follows": follows,
        "kind": ", ".join(t for t in (g.kind, g.metal, g.facing) if t),
        "od_mm": g.od.to("mm") if g.od else None,
        "id_mm": g.id_.to("mm") if g.id_ else None,
        "thickness_mm": g.thickness.to("mm") if g.thickness else None,
        "ribs": "plain" if plain_ring(x, j) else j.ribs_end,
        "rib_width_mm": g.rib_width.to("mm") if g.rib_width else None,
        "spares": int(g.spares.si) if g.spares else None,
    }


def _gasket_lines(rows: list[dict[str, Any]]) -> Iterator[str]:
    yield f"{'item':<6}{'joint':<7}{'follows':<22}{'outside/inside × thick, mm':<28}{'ribs':<8}{'kind'}"
    for r in rows:
        size = " / ".join("?" if r[k] is None else f"{r[k]:g}" for k in ("od_mm", "id_mm"))
        thick = "?" if r["thickness_mm"] is None else f"{r['thickness_mm']:g}"
        yield f"{r['item']:<6}{r['joint']:<7}{r['follows']:<22}{size + ' × ' + thick:<28}{r['ribs']:<8}{r['kind']}"
