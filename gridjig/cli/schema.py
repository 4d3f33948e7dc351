"""`gridjig schema`: the JSON Schema of the job file, or of what a verb prints as JSON."""

import argparse
import json

from gridjig.files.jobs.job_file import schema

from .outputs import schema_of
from .verb import Refusal, Verb

ABOUT = (
    "Print the JSON Schema of the job file, for programs that write one; or of what a verb prints"
    " with --json, for programs that read it."
)


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add [--of VERB]."""
    parser.add_argument(
        "--of", metavar="VERB", help="the schema of what VERB prints with --json, such as pull"
    )


def run(chosen: argparse.Namespace) -> None:
    """Print the schema."""
    made = schema() if chosen.of is None else schema_of(_verb(chosen.of).outputs)
    print(json.dumps(made, indent=2, ensure_ascii=False))


def _verb(name: str) -> Verb:
    """Return the verb of that name.  Raise Refusal if it prints no JSON, naming those that do."""
    from .command import all_verbs, find_verb  # noqa: PLC0415 - it imports every verb by its name

    found = find_verb(name)
    if found is None or not found.outputs:
        names = ", ".join(verb.name for verb in all_verbs() if verb.outputs)
        what = f"There is no verb {name}" if found is None else f"{name} prints no JSON"
        raise Refusal(f"{what}; there are schemas for: {names}.")
    return found


VERB = Verb(
    "schema", "print the JSON Schema of the job file or of an output", arguments, run, ABOUT
)
