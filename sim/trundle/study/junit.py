"""A baseline check as JUnit XML, the form that build servers read."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from pathlib import Path

from trundle.record.files import written
from trundle.study.baseline import Check
from trundle.study.files import valid

OPTION = "--junit"


def write_junit(path: Path, check: Check) -> None:
    """Raises InputError."""
    with written(path, OPTION) as temporary:
        temporary.write_text(valid(junit_xml(check)), encoding="utf-8")


def junit_xml(check: Check) -> str:
    """One test case per run; a loss is a failure that lists the figures.

    Source of the form: the elements common to build servers (testsuites, testsuite, testcase, failure,
    system-out), from memory.
    """
    runs = check.runs.to_dict("records")
    counts = {"tests": str(len(runs)), "failures": str(sum(bool(r["loss"]) for r in runs)), "errors": "0"}
    name = clean(check.name)
    root = ET.Element("testsuites", counts)
    suite = ET.SubElement(root, "testsuite", {"name": f"baseline {name}", **counts})
    for run in runs:
        whose = {"classname": f"{name}.{clean(str(run['vehicle']))}", "name": clean(str(run["course"]))}
        case = ET.SubElement(suite, "testcase", whose)
        if run["loss"]:
            text = clean(str(run["reason"]))
            failure = ET.SubElement(case, "failure", {"message": text, "type": "loss"})
            failure.text = text + "".join(f"\nsince: {clean(c)}" for c in check.causes)
    if check.causes:
        ET.SubElement(suite, "system-out").text = clean("changed: " + "\n".join(check.causes))
    ET.indent(root)
    return '<?xml version="1.0" encoding="utf-8"?>\n' + ET.tostring(root, encoding="unicode") + "\n"


def clean(text: str) -> str:
    """Without the characters that XML 1.0 (section 2.2, Char) does not allow; markup is escaped later."""
    return "".join(c for c in valid(text) if c in "\t\n\r" or (c >= " " and c not in "\ufffe\uffff"))
