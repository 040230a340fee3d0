"""The lines of `states:` against what the house has: checked with the reader that the calculation itself uses."""

from __future__ import annotations

from airledger.errors import InputError
from airledger.house.operating_state import read_setting
from airledger.io import build
from airledger.io.forms import HouseForm
from airledger.io.shape_faults import Faults


def check_states(form: HouseForm, faults: Faults) -> None:
    """Adds a fault for each state that names something unknown or a way it cannot stand.

    Parameters
    ----------
    form : HouseForm
        the file's content, faulty parts left out [-]
    faults : Faults
        the text and its tree [-]
    """
    if faults.found:
        return
    house = build.house(form)
    for name, settings in form.states.items():
        for what, how in settings.items():
            try:
                read_setting(house, what, how)
            except InputError as problem:
                faults.add(("states", name, what), str(problem))
