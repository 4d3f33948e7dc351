"""`gridjig schema`: the JSON Schema of the job file, for people who write one by other means."""

import argparse
import json

import msgspec

from gridjig.model import Job

from .verb import Verb


def schema() -> dict[str, object]:
    """The JSON Schema (draft 2020-12) of a job as it stands in a file."""
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "GridJig job",
        **msgspec.json.schema(Job),
    }


def arguments(parser: argparse.ArgumentParser) -> None:
    """It takes none."""


def run(chosen: argparse.Namespace) -> None:
    """Print the schema."""
    print(json.dumps(schema(), indent=2, ensure_ascii=False))


VERB = Verb("schema", "print the JSON Schema of the job file", arguments, run)
