"""`partingline calc`: the handbook at the prompt."""

import dataclasses
import inspect
import json
import sys
from difflib import get_close_matches
from typing import Any

import numpy as np
from rich.console import Console
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from partingline.calc import CALCULATIONS
from partingline.calc.declare import Calculation
from partingline.cli.screen import console
from partingline.readers.quantities import QuantityError, format_quantity, parse_quantity

Declared = Calculation[..., Any]


def run(name: str, inputs: list[str], *, as_json: bool) -> int:
    """List, show or run. 2 where the name or an input is not understood."""
    chosen = _chosen(name)
    if not chosen:
        near = ", ".join(get_close_matches(name, [i.partition(".")[2] for i in CALCULATIONS], n=3)) or "none near"
        console(error=True).print(f"no calculation '{name}'; did you mean: {near}? `partingline calc` lists all.")
        return 2
    result, remarks = None, list[str]()
    if inputs:
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
        _json(chosen, result, remarks)
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
    out.print(
        f"\n{len(chosen)} calculations. One in full: partingline calc NAME. Run it: partingline calc NAME INPUT=QUANTITY ...",
        style="bright_black",
    )


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
    given: dict[str, Any] = {}
    for text in inputs:
        name, equals, value = text.partition("=")
        if not equals or name not in one.units:
            near = get_close_matches(name, one.units, n=1)
            hint = f"; did you mean '{near[0]}'?" if near else ""
            raise ValueError(f"'{text}': expected NAME=QUANTITY with NAME one of {', '.join(one.units)}{hint}")
        given[name] = _parsed(name, value, one.units[name])
    required = [
        n for n, p in inspect.signature(one.function).parameters.items() if p.default is inspect.Parameter.empty
    ]
    if lacking := [name for name in required if name not in given]:
        raise ValueError(
            f"{one.id} needs {', '.join(f'{name} in {one.units[name]}' if one.units[name] else name for name in lacking)} as well"
        )
    return _plain(one(**given)), one.outside_validity(given)


def _parsed(name: str, text: str, unit: str) -> Any:
    if "," in text and "[" not in text and unit:
        return np.array([_parsed(name, piece, unit) for piece in text.split(",")])
    try:
        return float(text)
    except ValueError:
        pass
    if not unit:
        return text
    try:
        return parse_quantity(text, unit={"degC": "°C"}.get(unit, unit)).value
    except QuantityError as error:
        raise ValueError(f"{name}: {error}") from None


def _plain(result: Any) -> Any:
    if dataclasses.is_dataclass(result) and not isinstance(result, type):
        return {field.name: _plain(getattr(result, field.name)) for field in dataclasses.fields(result)}
    if isinstance(result, np.ndarray):
        return result.item() if result.size == 1 else result.tolist()
    return result.item() if isinstance(result, np.generic) else result


def _worded(one: Declared, result: Any) -> Text:
    if isinstance(result, dict):
        units = dict(pair.split(" ", 1) if " " in pair else (pair, "") for pair in one.gives.split(", "))
        return Text("\n").join(Text(f"{name}: ") + _bold(value, units.get(name, "")) for name, value in result.items())
    return Text("= ") + _bold(result, one.gives)


def _bold(value: Any, unit: str) -> Text:
    if isinstance(value, float) and np.isfinite(value):
        try:
            return Text(format_quantity(value, unit or "1", digits=5), style="bold")
        except QuantityError:
            return Text(f"{value:.6g} {unit}", style="bold")
    return Text(f"{value} {unit}".rstrip(), style="bold")


def _json(chosen: list[Declared], result: Any, remarks: list[str]) -> None:
    from partingline.publish.records import calc_record

    json.dump(calc_record([(one, result, remarks) for one in chosen]), sys.stdout, ensure_ascii=False, indent=1)
    sys.stdout.write("\n")
