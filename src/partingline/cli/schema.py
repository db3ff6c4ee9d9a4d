"""`partingline schema`: the JSON schema of a record."""

from partingline.cli.screen import console, print_json


def run(name: str) -> int:
    """Print the schema; 2 for an unknown record."""
    from partingline.publish.records import SCHEMAS, json_schema

    if name not in SCHEMAS:
        console(error=True).print(f"no record '{name}'; expected one of {', '.join(SCHEMAS)}")
        return 2
    print_json(json_schema(name))
    return 0
