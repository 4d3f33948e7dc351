"""What the verbs print with `--json`, as typed values from which the JSON Schema follows.

One file a verb.  Names of fields carry their unit; a field that is renamed, dropped or given
another meaning breaks the programs that read it.
"""

from .base import Output, as_json, schema_of

__all__ = ["Output", "as_json", "schema_of"]
