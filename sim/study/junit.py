"""A baseline check as JUnit XML, the form that build servers read."""

from __future__ import annotations

import xml.etree.ElementTree as ET

from sim.study.baseline import Check


def junit_xml(check: Check) -> str:
    """One test case per run; a loss is a failure that lists the figures.

    Source of the form: the elements common to build servers (testsuites, testsuite, testcase, failure,
    system-out), from memory.
    """
    runs = check.runs.to_dict("records")
    counts = {"tests": str(len(runs)), "failures": str(sum(bool(r["loss"]) for r in runs)), "errors": "0"}
    root = ET.Element("testsuites", counts)
    suite = ET.SubElement(root, "testsuite", {"name": f"baseline {check.name}", **counts})
    for run in runs:
        case = ET.SubElement(
            suite, "testcase", {"classname": f"{check.name}.{run['vehicle']}", "name": str(run["course"])}
        )
        if run["loss"]:
            text = clean(str(run["reason"]))
            failure = ET.SubElement(case, "failure", {"message": text, "type": "loss"})
            failure.text = text + "".join(f"\nsince: {clean(c)}" for c in check.causes)
    if check.causes:
        ET.SubElement(suite, "system-out").text = clean("changed: " + "\n".join(check.causes))
    ET.indent(root)
    return '<?xml version="1.0" encoding="utf-8"?>\n' + ET.tostring(root, encoding="unicode") + "\n"


def clean(text: str) -> str:
    """Without the control characters that XML 1.0 does not allow."""
    return "".join(c for c in text if c in "\t\n\r" or ord(c) >= 0x20)
