"""The lines of `states:` against what the house has: checked with the reader that the calculation itself uses."""

from __future__ import annotations

from airledger.errors import InputError
from airledger.house.state_words import read_setting, things
from airledger.io import build
from airledger.io.fields import nearest
from airledger.io.forms import HouseForm
from airledger.io.marks import Path
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
                _tell(faults, ("states", name, what), how, str(problem), things(house))


def _tell(faults: Faults, path: Path, how: str, said: str, names: tuple[str, ...]) -> None:
    """The refusal of a state's line as a fault: what is wrong and what is allowed told apart."""
    what = str(path[-1])
    if said.startswith("nothing in this house is called"):
        faults.add(path, said.partition(";")[0], ", ".join(names), nearest(what, names), at_key=True)
        return
    allowed, _, rest = said.rpartition(";")
    words = allowed.rpartition("is one of: ")[2]
    if rest.strip().startswith("not "):
        faults.add(path, f"{how!r} is no way that {what} can be", words, nearest(how, words.split(", ")))
    else:
        faults.add(path, rest.strip() or said, allowed)
