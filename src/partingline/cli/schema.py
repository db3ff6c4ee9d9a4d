"""`partingline schema`: the JSON schema of a record."""

import json
import sys

from partingline.cli.screen import console


def run(name: str) -> int:
    """Print the schema; 2 for an unknown record."""
    from partingline.publish.records import SCHEMAS, json_schema

    if name not in SCHEMAS:
        console(error=True).print(f"no record '{name}'; expected one of {', '.join(SCHEMAS)}")
        return 2
    json.dump(json_schema(name), sys.stdout, ensure_ascii=False, indent=1, sort_keys=True)
    sys.stdout.write("\n")
    return 0
