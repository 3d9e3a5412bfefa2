"""Sun position and clear sky by pvlib, at one spot and many instants."""

import json
import sys

import pandas as pd
import pvlib


def answer(question):
    times = pd.to_datetime(question["times"], unit="s", utc=True)
    height, pressure = question["height"], question["pressure"]
    sun = pvlib.solarposition.get_solarposition(
        times, question["latitude"], question["longitude"], altitude=height, pressure=pressure,
        temperature=12.0, method="nrel_numpy")
    extra = pvlib.irradiance.get_extra_radiation(times)
    mass = pvlib.atmosphere.get_relative_airmass(sun["apparent_zenith"])
    clear = pvlib.clearsky.ineichen(
        sun["apparent_zenith"], pvlib.atmosphere.get_absolute_airmass(mass, pressure), question["turbidity"],
        altitude=height, dni_extra=extra)
    simple = pvlib.clearsky.haurwitz(sun["apparent_zenith"])
    lights = pvlib.solarposition.sun_rise_set_transit_spa(
        pd.DatetimeIndex(question["days"]).tz_localize("UTC"), question["latitude"], question["longitude"])
    seconds = lambda column: [t.timestamp() if not pd.isna(t) else None for t in lights[column]]
    return {
        "elevation": (90.0 - sun["zenith"]).tolist(),
        "apparent_elevation": (90.0 - sun["apparent_zenith"]).tolist(),
        "azimuth": sun["azimuth"].tolist(),
        "outside": extra.tolist(),
        "global": clear["ghi"].fillna(0.0).tolist(),
        "diffuse": clear["dhi"].fillna(0.0).tolist(),
        "haurwitz": simple["ghi"].tolist(),
        "rise": seconds("sunrise"), "noon": seconds("transit"), "set": seconds("sunset"),
    }


json.dump(answer(json.load(sys.stdin)), sys.stdout)
