"""`partingline calc`: the handbook at the prompt."""

import dataclasses
import inspect
from difflib import get_close_matches
from typing import Any

import numpy as np
from rich.console import Console
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from partingline.calc import CALCULATIONS
from partingline.cli.given import Declared, given_inputs
from partingline.cli.screen import console, print_json
from partingline.readers.quantities import QuantityError, format_quantity


def run(name: str, inputs: list[str], *, as_json: bool) -> int:
    """List, show or run. 2 where the name or an input is not understood."""
    chosen = _chosen(name)
    if not chosen:
        near = ", ".join(get_close_matches(name, [i.partition(".")[2] for i in CALCULATIONS], n=3)) or "none near"
        console(error=True).print(f"no calculation '{name}'; did you mean: {near}? `partingline calc` lists all.")
        return 2
    result, remarks = None, list[str]()
    if inputs or (len(chosen) == 1 and not chosen[0].units):
        if len(chosen) > 1:
            names = ", ".join(one.id for one in chosen)
            console(error=True).print(f"'{name}' is not one calculation but {len(chosen)}: {names}. Name one.")
            return 2
        try:
            result, remarks = _result(chosen[0], inputs)
        except ValueError as error:
            console(error=True).print(str(error))
            return 2
    if as_json:
        from partingline.publish.records import calc_record

        print_json(calc_record([(one, result, remarks) for one in chosen]))
    elif len(chosen) > 1:
        _list(console(), chosen)
    else:
        _show(console(), chosen[0], result, remarks)
    return 0


def _chosen(name: str) -> list[Declared]:
    exact = [one for id_, one in CALCULATIONS.items() if name in (id_, id_.partition(".")[2])]
    return exact or [one for id_, one in sorted(CALCULATIONS.items()) if name.casefold() in id_]


def _list(out: Console, chosen: list[Declared]) -> None:
    table = Table(show_header=False, box=None, padding=(0, 2, 0, 0), pad_edge=False)
    table.add_column(no_wrap=True, style="bold")
    table.add_column(ratio=1)
    group = ""
    for one in chosen:
        room = one.id.partition(".")[0]
        if room != group:
            table.add_row(Text(f"\n{room}", style="underline"), "")
            group = room
        table.add_row(f"  {one.id.partition('.')[2]}", one.summary)
    out.print(table)
    ways = "One in full: partingline calc NAME. Run it: partingline calc NAME INPUT=QUANTITY ..."
    out.print(f"\n{len(chosen)} calculations. {ways}", style="bright_black")


def _show(out: Console, one: Declared, result: Any, remarks: list[str]) -> None:
    out.print(Text(one.id, style="bold"))
    out.print(Padding(inspect.getdoc(one.function) or "", (0, 0, 1, 2)))
    table = Table(show_header=False, box=None, padding=(0, 2, 0, 2), pad_edge=True)
    defaults = inspect.signature(one.function).parameters
    for name, unit in one.units.items():
        default = defaults[name].default
        told = "" if default is inspect.Parameter.empty else f"default {default}"
        valid = one.valid_for.get(name)
        range_ = f"valid {valid[0]:g} to {valid[1]:g}" if valid else ""
        table.add_row(Text(name, style="bold"), unit, told, range_)
    table.add_row(Text("gives", style="italic"), one.gives, "", "")
    out.print(table)
    out.print(Padding(f"Source: {one.source}", (1, 0, 0, 2)), style="bright_black")
    if one.errata:
        out.print(Padding(f"Errata: {one.errata}", (0, 0, 0, 2)), style="bright_black")
    if one.example and result is None:
        out.print(
            Padding(f"Example ({one.example.source}): {_inputs(one)} gives {one.example.result}", (0, 0, 0, 2)),
            style="bright_black",
        )
    if result is not None:
        out.print(Padding(_worded(one, result), (1, 0, 0, 2)))
    for remark in remarks:
        out.print(Padding(f"Remark: {remark}", (0, 0, 0, 2)), style="yellow")


def _inputs(one: Declared) -> str:
    return " ".join(f"{name}={value}" for name, value in (one.example.inputs if one.example else {}).items())


def _result(one: Declared, inputs: list[str]) -> tuple[Any, list[str]]:
    given = given_inputs(one, inputs)
    try:
        with np.errstate(all="ignore"):
            result = one(**given)
    except LookupError as error:
        raise ValueError(f"{one.id}: {error.args[0] if error.args else error}") from None
    except ArithmeticError as error:
        raise ValueError(f"{one.id}: no result for these inputs ({error})") from None
    return _plain(result), one.outside_validity(given)


def _plain(result: Any) -> Any:
    if dataclasses.is_dataclass(result) and not isinstance(result, type):
        return {field.name: _plain(getattr(result, field.name)) for field in dataclasses.fields(result)}
    if isinstance(result, np.ndarray):
        return result.item() if result.size == 1 else result.tolist()
    return result.item() if isinstance(result, np.generic) else result


def _worded(one: Declared, result: Any) -> Text:
    if isinstance(result, dict):
        fields = (pair.partition(" ") for pair in one.gives.split(", "))
        units = {name: unit for name, _, unit in fields}
        return Text("\n").join(Text(f"{name}: ") + _bold(value, units.get(name, "")) for name, value in result.items())
    return Text("= ") + _bold(result, one.gives)


def _bold(value: Any, unit: str) -> Text:
    if isinstance(value, float) and np.isfinite(value):
        try:
            return Text(format_quantity(value, unit or "1", digits=5), style="bold")
        except QuantityError:
            return Text(f"{value:.6g} {unit}", style="bold")
    return Text(f"{value} {unit}".rstrip(), style="bold")
