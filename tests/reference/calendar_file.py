"""Reads a calendar with icalendar and tells what it holds."""

import json
import sys

from icalendar import Calendar


def told(event):
    instant = lambda name: event.decoded(name).strftime("%Y-%m-%dT%H:%M:%SZ")
    return {
        "uid": str(event["UID"]),
        "stamp": instant("DTSTAMP"),
        "start": instant("DTSTART"),
        "end": instant("DTEND"),
        "zone": str(event.decoded("DTSTART").tzinfo),
        "summary": str(event["SUMMARY"]),
        "description": str(event.get("DESCRIPTION", "")),
    }


def answer(question):
    calendar = Calendar.from_ical(question["text"])
    events = calendar.walk("VEVENT")
    faults = [str(error) for part in calendar.walk() for error in part.errors]
    return {"events": [told(event) for event in events], "faults": faults, "version": str(calendar["VERSION"])}


json.dump(answer(json.load(sys.stdin)), sys.stdout)
