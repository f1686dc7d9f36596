"""An invented floating-head exchanger with its lists; no real site."""

import pytest

from boxup.job.scope import scope_of_lists

LISTS = {
    "joints": [
        {"id": "J1", "kind": "channel cover"},
        {"id": "J2", "kind": "channel/shell joint", "side": "tube"},
        {"id": "J3", "kind": "channel/shell joint", "side": "shell", "studs_of": "J2"},
        {"id": "J4", "kind": "floating head"},
        {"id": "J5", "kind": "shell cover"},
    ],
    "nozzles": [{"id": "N1", "side": "shell"}, {"id": "N2", "side": "shell"}, {"id": "N3", "side": "tube"}, {"id": "N4", "side": "tube"}],
    "gaskets": [{"id": f"G{name}", "joint": name} for name in ("J1", "J2", "J3", "J4", "J5", "N1", "N2", "N3", "N4")],
    "blinds": [
        {"id": "B1", "kind": "process", "side": "shell", "nozzle": "N1"},
        {"id": "B2", "kind": "process", "side": "shell", "nozzle": "N2"},
        {"id": "B3", "kind": "process", "side": "tube", "nozzle": "N3"},
        {"id": "B4", "kind": "process", "side": "tube"},
        {"id": "X1", "kind": "test", "side": "shell", "nozzle": "N1"},
        {"id": "X3", "kind": "test", "side": "tube", "nozzle": "N3"},
    ],
    "openings": [{"id": "D1", "side": "shell"}, {"id": "V2", "side": "shell"}, {"id": "V1", "side": "tube"}, {"id": "D3", "side": "tube"}],
    "lifts": [{"id": "L1", "kind": "head", "joint": "J1"}, {"id": "L5", "kind": "head", "joint": "J5"}, {"id": "LB", "kind": "bundle"}],
    "tools": [
        {"id": "W4", "kind": "bolting", "joint": "J4"},
        {"id": "W1", "kind": "bolting", "joint": "J1"},
        {"id": "P1", "kind": "gauge"},
    ],
    "tests": [{"id": "T1", "kind": "bare ends"}, {"id": "T2", "kind": "tube"}, {"id": "T3", "kind": "final shell"}],
    "tubes": [{"id": "9-14"}, {"id": "2-6"}],
}


@pytest.fixture(scope="session")
def lists():
    return LISTS


@pytest.fixture(scope="session")
def aes():
    """A floating head with every list filled in."""
    return scope_of_lists("AES", "", LISTS)
