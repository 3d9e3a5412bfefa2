"""Moist air by PsychroLib: saturation pressures, dew points, standard pressures."""

import json
import sys

import psychrolib

psychrolib.SetUnitSystem(psychrolib.SI)


def answer(question):
    return {
        "saturation": [psychrolib.GetSatVapPres(t) for t in question["celsius"]],
        # PsychroLib's dew point below freezing is a frost point; only warm ones are asked for.
        "dew_point": [psychrolib.GetTDewPointFromRelHum(t, h) for t, h in question["moist"]],
        "vapour": [psychrolib.GetVapPresFromRelHum(t, h) for t, h in question["moist"]],
        "humidity_ratio": [psychrolib.GetHumRatioFromRelHum(t, h, 101325.0) for t, h in question["moist"]],
        "pressure": [psychrolib.GetStandardAtmPressure(z) for z in question["metres"]],
    }


json.dump(answer(json.load(sys.stdin)), sys.stdout)
