"""A measured typical year that pvlib carries, rewritten as EPW and read back by pvlib.

pvlib's package has typical years of US stations in the format TMY3, and reads EPW. The rows are carried over value by
value as the data dictionary of EPW orders them; what TMY3 marks as missing (-9900) gets EPW's mark.
Depths of rain stand in tenths of a millimetre in these files, though their heading says mm: a year's 8,345 is 835 mm in
a city that has about 1,100, and many hours have 254, an inch in tenths. They are divided by ten.
"""

import csv
import io
import json
import pathlib
import sys

import pvlib
from pvlib.iotools.epw import _parse_epw


def lines_of(name):
    with open(pathlib.Path(pvlib.__file__).parent / "data" / name, newline="") as file:
        head = next(csv.reader([file.readline()]))
        return head, list(csv.DictReader(file))


def value(row, column, missing, factor=1.0):
    told = float(row[column])
    return missing if told <= -9000 else round(told * factor, 6)


def as_epw(head, rows):
    number, name, state, zone, latitude, longitude, height = (part.strip() for part in head[:7])
    out = [f"LOCATION,{name},{state},USA,TMY3,{number},{latitude},{longitude},{zone},{height}", "DESIGN CONDITIONS,0",
           "TYPICAL/EXTREME PERIODS,0", "GROUND TEMPERATURES,0", "HOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0", "COMMENTS 1,typical year",
           "COMMENTS 2,", "DATA PERIODS,1,1,Data,Sunday, 1/ 1,12/31"]
    for row in rows:
        month, day, year = (int(part) for part in row["Date (MM/DD/YYYY)"].split("/"))
        cells = [
            year, month, day, int(row["Time (HH:MM)"].split(":")[0]), 60, "?",
            value(row, "Dry-bulb (C)", 99.9), value(row, "Dew-point (C)", 99.9), value(row, "RHum (%)", 999),
            value(row, "Pressure (mbar)", 999999, 100.0), value(row, "ETR (W/m^2)", 9999), value(row, "ETRN (W/m^2)", 9999),
            9999, value(row, "GHI (W/m^2)", 9999), value(row, "DNI (W/m^2)", 9999), value(row, "DHI (W/m^2)", 9999),
            999999, 999999, 999999, 9999, value(row, "Wdir (degrees)", 999), value(row, "Wspd (m/s)", 999),
            value(row, "TotCld (tenths)", 99), value(row, "OpqCld (tenths)", 99), 9999, 99999, 9, 999999999, 999, 0.999, 999, 99,
            999, value(row, "Lprecip depth (mm)", 999, 0.1), value(row, "Lprecip quantity (hr)", 99),
        ]
        out.append(",".join(str(cell) for cell in cells))
    return "\n".join(out) + "\n"


def answer(question):
    epw = as_epw(*lines_of(question["name"]))
    data, meta = _parse_epw(io.StringIO(epw))
    names = ["temp_air", "temp_dew", "relative_humidity", "ghi", "dhi", "wind_speed", "total_sky_cover", "atmospheric_pressure"]
    return {"epw": epw, "latitude": meta["latitude"], "longitude": meta["longitude"], "height": meta["altitude"],
            "hour": data["hour"].tolist(), **{name: data[name].astype(float).tolist() for name in names}}


json.dump(answer(json.load(sys.stdin)), sys.stdout)
