"""`gridjig schema`: the JSON Schema of the job file, for people who write one by other means."""

import argparse
import json

from gridjig.files.jobfile import schema

from .verb import Verb


def arguments(parser: argparse.ArgumentParser) -> None:
    """It takes none."""


def run(chosen: argparse.Namespace) -> None:
    """Print the schema."""
    print(json.dumps(schema(), indent=2, ensure_ascii=False))


VERB = Verb("schema", "print the JSON Schema of the job file", arguments, run)
