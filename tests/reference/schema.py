"""Judges documents by a JSON Schema with jsonschema; job files are read with Python's own TOML reader."""

import datetime
import json
import sys
import tomllib

from jsonschema import Draft202012Validator


def as_json(value):
    """A TOML value as JSON knows it: times become text."""
    if isinstance(value, dict):
        return {key: as_json(part) for key, part in value.items()}
    if isinstance(value, list):
        return [as_json(part) for part in value]
    if isinstance(value, (datetime.datetime, datetime.date, datetime.time)):
        return value.isoformat()
    return value


def answer(question):
    schema = question["schema"]
    Draft202012Validator.check_schema(schema)
    judge = Draft202012Validator(schema)
    told = []
    for text, form in zip(question["texts"], question["forms"]):
        document = as_json(tomllib.loads(text)) if form == "toml" else json.loads(text)
        told.append([f"{error.json_path}: {error.message[:200]}" for error in judge.iter_errors(document)])
    return {"faults": told}


json.dump(answer(json.load(sys.stdin)), sys.stdout)
