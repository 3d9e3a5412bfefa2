"""The machine interface against its own document, by the open tool schemathesis."""

import json
import pathlib
import re
import subprocess
import sys
import tempfile
import urllib.request

CHECKS = [
    "not_a_server_error",
    "status_code_conformance",
    "content_type_conformance",
    "response_schema_conformance",
    "unsupported_method",
]


def fetch(url):
    with urllib.request.urlopen(url, timeout=60) as answer:
        return json.load(answer)


def with_jobs(document, jobs):
    """The document with the ids of the served jobs to draw from: an id drawn at random is never one of them."""
    for operations in document["paths"].values():
        for operation in operations.values():
            for parameter in operation["parameters"]:
                if parameter["name"] == "job":
                    parameter["schema"] = {"type": "string", "enum": [*jobs, "none"]}
                if parameter["name"] == "paper":
                    parameter["schema"] = {"type": "string", "enum": ["plant-order.pdf", "none.pdf"]}
    return document


def answer(question):
    base = question["url"] + "api/v1"
    jobs = [job["id"] for job in fetch(base + "/jobs")["jobs"]]
    document = with_jobs(fetch(base + "/openapi.json"), jobs)
    with tempfile.TemporaryDirectory() as folder:
        path = pathlib.Path(folder) / "document.json"
        path.write_text(json.dumps(document))
        tool = pathlib.Path(sys.executable).parent / "schemathesis"
        done = subprocess.run(
            [
                str(tool), "run", str(path), "--url", base, "--checks", ",".join(CHECKS), "--max-examples", str(question["most"]),
                "--seed", str(question["seed"]), "--phases", "examples,coverage,fuzzing", "--request-timeout", "60", "--warnings", "off",
                "--suppress-health-check", "all", "--continue-on-failure", "--no-shrink",
            ],
            capture_output=True, text=True, cwd=folder, timeout=400,
        )
    told = done.stdout + done.stderr
    cases = re.search(r"Test cases:\s*\n?\s*([\d,]+)", told)
    return {"good": done.returncode == 0, "told": told, "cases": int(cases.group(1).replace(",", "")) if cases else 0, "jobs": len(jobs)}


json.dump(answer(json.load(sys.stdin)), sys.stdout)
