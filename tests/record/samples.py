"""Invented samples of every layout: the lines of the file, and what they hold.

The layouts are those of services and families; stations, places and figures are invented.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from pathlib import Path

import pandas as pd

from budget.record.asked import Asked

Row = tuple[float | None, float | None, float | None]  # rain [mm], high, low [°C]


@dataclass(frozen=True)
class Sample:
    """A file and what is read from it: a row a day or month from `first` on, None where nothing is known."""

    name: str
    layout: str
    text: str
    first: date
    rows: list[Row]
    totals: tuple[int, ...] = ()  # places of the rows that a total covers
    remarks: tuple[str, ...] = ()
    asked: Asked = field(default_factory=Asked)
    monthly: bool = False

    def __str__(self) -> str:
        return self.name

    def write(self, folder: Path) -> Path:
        path = folder / "sample.csv"
        path.write_text(self.text, encoding="utf-8")
        return path

    def expected(self) -> pd.DataFrame:
        calendar = pd.date_range(self.first, periods=len(self.rows), freq="MS" if self.monthly else "D", name="date")
        return pd.DataFrame(self.rows, index=calendar, columns=["rain", "tmax", "tmin"], dtype=float)


GRID = "Values of a grid or a model, not of a gauge: single days are smoothed."
OWN = "columns by their headings"
ORDER = "an order of daily or monthly summaries"
US = Asked("in", "F")
NEW_YEAR = date(2031, 1, 1)

SAMPLES = [
    Sample(
        "long",
        "one value a row, in tenths",
        """\
ID,DATE,ELEMENT,DATA_VALUE,M_FLAG,Q_FLAG,S_FLAG,OBS_TIME
ZZX00000001,20310101,PRCP,152,,,7,0800
ZZX00000001,20310101,TMAX,-12,,,7,0800
ZZX00000001,20310101,TMIN,-99,,,7,0800
ZZX00000001,20310101,SNOW,30,,,7,0800
ZZX00000001,20310102,PRCP,0,T,,7,0800
ZZX00000001,20310102,TMAX,999,,X,7,0800
ZZX00000001,20310102,TMIN,-9999,,,7,0800
ZZX00000001,20310105,DAPR,3,,,7,
ZZX00000001,20310105,MDPR,244,,,7,
ZZX00000001,20310106,PRCP,8,,,7,0800
ZZX00000001,20310106,TMAX,155,,,7,0800
ZZX00000001,20310106,TMIN,61,,,7,0800
""",
        NEW_YEAR,
        [(15.2, -1.2, -9.9), (0, None, None), (0, None, None), (0, None, None), (24.4, None, None), (0.8, 15.5, 6.1)],
        (2, 3, 4),
        (
            "1 trace of rain counts 0.",
            "1 value that the service marked as doubtful is left out.",
            "1 total over several days stands on their last day.",
        ),
    ),
    Sample(
        "long without headings",
        "one value a row, in tenths",
        """\

ZZX00000001,20310131,PRCP,152,,,7,0800
ZZX00000001,20310131,TMAX,128,,,7,0800
ZZX00000001,20310201,PRCP,999,,K,7,0800
ZZX00000001,20310201,TMIN,33,,,7,0800
ZZX00000001,20310202,PRCP,0,T,,7,0800
""",
        date(2031, 1, 31),
        [(15.2, 12.8, None), (None, None, 3.3), (0, None, None)],
        (),
        ("1 trace of rain counts 0.", "1 value that the service marked as doubtful is left out."),
    ),
    Sample(
        "a day a row with attributes",
        "one day a row with attributes, in tenths",
        """\
"STATION","DATE","LATITUDE","LONGITUDE","ELEVATION","NAME","PRCP","PRCP_ATTRIBUTES","TMAX","TMAX_ATTRIBUTES",\
"TMIN","TMIN_ATTRIBUTES","DAPR","DAPR_ATTRIBUTES","MDPR","MDPR_ATTRIBUTES"
"ZZX00000001","2031-01-01","0.0","0.0","10.0","INVENTED","   56",",,7,0800","  128",",,7,","  -99",",,7,",,,,
"ZZX00000001","2031-01-02","0.0","0.0","10.0","INVENTED","    0","T,,7,0800","  999",",I,7,","   21",",,7,",,,,
"ZZX00000001","2031-01-04","0.0","0.0","10.0","INVENTED",,,"  100",",,7,",,,"    2",",,7,","   30",",,7,"
""",
        NEW_YEAR,
        [(5.6, 12.8, -9.9), (0, None, 2.1), (0, None, None), (3.0, 10.0, None)],
        (2, 3),
        (
            "1 trace of rain counts 0.",
            "1 value that the service marked as doubtful is left out.",
            "1 total over several days stands on their last day.",
        ),
    ),
    Sample(
        "an order in US units",
        ORDER,
        """\
"STATION","NAME","DATE","DAPR","MDPR","PRCP","SNOW","TMAX","TMIN"
"ZZX00000001","INVENTED, ZZ","2031-01-31",,,"0.60",,"50","32"
"ZZX00000001","INVENTED, ZZ","2031-02-01",,,"0.00",,"59","-4"
"ZZX00000001","INVENTED, ZZ","2031-02-04","3","0.96",,,"68","41"
""",
        date(2031, 1, 31),
        [(15.24, 10, 0), (0, 15, -20), (0, None, None), (0, None, None), (24.384, 20, 5)],
        (2, 3, 4),
        ("1 total over several days stands on their last day.",),
        US,
    ),
    Sample(
        "an order with places and marks, which are not in tenths",
        ORDER,
        """\
"STATION","NAME","LATITUDE","LONGITUDE","ELEVATION","DATE","PRCP","PRCP_ATTRIBUTES","TMAX","TMAX_ATTRIBUTES",\
"TMIN","TMIN_ATTRIBUTES"
"ZZX00000001","INVENTED, ZZ","0.0","0.0","10.0","2031-01-01","1.00",",,7,0800","50",",,7,","32",",,7,"
"ZZX00000001","INVENTED, ZZ","0.0","0.0","10.0","2031-01-02","0.00","T,,7,0800","59",",I,7,","23",",,7,"
""",
        NEW_YEAR,
        [(25.4, 10, 0), (0, None, -5)],
        (),
        ("1 trace of rain counts 0.", "1 value that the service marked as doubtful is left out."),
        US,
    ),
    Sample(
        "an order whose columns were moved",
        ORDER,
        """\
DATE,PRCP,TMAX,TMIN,STATION,NAME
2031-01-01,1.5,10,0.5,ZZX00000001,INVENTED
2031-01-02,0,11,1.5,ZZX00000001,INVENTED
""",
        NEW_YEAR,
        [(1.5, 10, 0.5), (0, 11, 1.5)],
        asked=Asked("mm", "C"),
    ),
    Sample(
        "an order of months",
        ORDER,
        """\
"STATION","NAME","DATE","PRCP","PRCP_ATTRIBUTES","TAVG","TMAX","TMAX_ATTRIBUTES","TMIN","TMIN_ATTRIBUTES"
"ZZX00000001","INVENTED, ZZ","2031-01","40.5","2,,,7","5.0","10.0",",,,7","0.1",",,,7"
"ZZX00000001","INVENTED, ZZ","2031-03","0.0",",T,,7","6.5","12.0","1,,X,7","1.0",",,,7"
""",
        NEW_YEAR,
        [(40.5, 10, 0.1), (None, None, None), (0, None, 1.0)],
        (),
        ("1 trace of rain counts 0.", "1 value that the service marked as doubtful is left out."),
        Asked("mm", "C"),
        True,
    ),
    Sample(
        "a download by station and day",
        "a download by station and day",
        """\
date,tavg,tmin,tmax,prcp,snow,wdir,wspd,wpgt,pres,tsun
2031-01-01 00:00:00,7.3,6.0,8.5,8.8,,210,25.6,49.7,1010.1,30
2031-01-02 00:00:00,8.6,6.2,11.0,,,220,29.2,62.6,1000.4,0
2031-01-04 00:00:00,10.3,7.9,13.2,0.0,,230,30.6,67.7,997.3,138
""",
        NEW_YEAR,
        [(8.8, 8.5, 6.0), (None, 11.0, 6.2), (None, None, None), (0, 13.2, 7.9)],
        (),
        ("Forecasts may stand in it for missing observations, unmarked.",),
    ),
    Sample(
        "a bulk file with sources",
        "a bulk file with sources",
        """\
year,month,day,temp,temp_source,tmin,tmin_source,tmax,tmax_source,prcp,prcp_source
2031,1,1,7.3,invented_daily,6.0,invented_daily,8.5,invented_daily,8.8,invented_daily
2031,1,2,8.6,invented_daily dwd_mosmix,6.2,invented_daily dwd_mosmix,11.0,invented_daily,0.4,metno_forecast
2031,1,3,10.3,invented_daily,7.9,invented_daily,13.2,invented_daily,,
""",
        NEW_YEAR,
        [(8.8, 8.5, 6.0), (None, 11.0, None), (None, 13.2, 7.9)],
        (),
        ("2 values come from a forecast and are left out.",),
    ),
    Sample(
        "a bulk file of months with sources",
        "a bulk file of months with sources",
        """\
year,month,temp,temp_source,tmin,tmin_source,tmax,tmax_source,prcp,prcp_source
2031,1,7.3,invented,6.0,invented,8.5,invented,88.8,invented
2031,2,8.6,invented,6.2,invented,11.0,invented,90.1,dwd_mosmix
""",
        NEW_YEAR,
        [(88.8, 8.5, 6.0), (None, 11.0, 6.2)],
        (),
        ("1 value comes from a forecast and is left out.",),
        monthly=True,
    ),
    Sample(
        "German climate",
        "a German climate file",
        """\
STATIONS_ID;MESS_DATUM;QN_3;  FX;QN_4; RSK;RSKF; SDK; TMK; UPM; TXK; TNK; TGK;eor
       9999;20310101;   10;  49.7;    9;   8.8;   6;   0.500;    7.3;   77.00;    8.5;    6.0;   4.1;eor
       9999;20310102;   10;  62.6;    9;-999;-999;-999;    8.6;   85.00;   11.0;   -6.2;   4.4;eor
""",
        NEW_YEAR,
        [(8.8, 8.5, 6.0), (None, 11.0, -6.2)],
    ),
    Sample(
        "German rain",
        "a German rain file",
        """\
STATIONS_ID;MESS_DATUM;QN_6;  RS; RSF; SH_TAG; NSH_TAG;eor
       9999;20310101;    9;   0.0;   0;   0;   0;eor
       9999;20310103;    9;  12.3;   6;   0;-999;eor
""",
        NEW_YEAR,
        [(0, None, None), (None, None, None), (12.3, None, None)],
    ),
    Sample(
        "French climate",
        "a French climate file",
        """\
NUM_POSTE;NOM_USUEL;LAT;LON;ALTI;AAAAMMJJ;RR;QRR;TN;QTN;HTN;QHTN;TX;QTX;HTX;QHTX
99999001;INVENTE;0.0;0.0;10;20310101;3.4;1;-1.2;1;;;8.9;1;;
99999001;INVENTE;0.0;0.0;10;20310102;120.5;2;0.3;1;;;;;;
""",
        NEW_YEAR,
        [(3.4, 8.9, -1.2), (None, None, 0.3)],
        (),
        ("1 value that the service marked as doubtful is left out.",),
    ),
    Sample(
        "Canadian climate",
        "a Canadian climate file",
        """\
\ufeff"Longitude (x)","Latitude (y)","Station Name","Climate ID","Date/Time","Year","Month","Day","Data Quality",\
"Max Temp (°C)","Max Temp Flag","Min Temp (°C)","Min Temp Flag","Total Rain (mm)","Total Rain Flag",\
"Total Snow (cm)","Total Snow Flag","Total Precip (mm)","Total Precip Flag"
"0.0","0.0","INVENTED","9999999","2031-01-01","2031","01","01","","-3.5","","-9.9","","1.0","","6.0","","7.0",""
"0.0","0.0","INVENTED","9999999","2031-01-02","2031","01","02","","1.5","E","-8.0","","0.0","T","0.0","","0.0","T"
"0.0","0.0","INVENTED","9999999","2031-01-03","2031","01","03","","","M","","M","","M","","M","","M"
"0.0","0.0","INVENTED","9999999","2031-01-04","2031","01","04","","2.0","","-1.0","","0.0","","0.0","","0.0","C"
""",
        NEW_YEAR,
        [(7.0, -3.5, -9.9), (0, 1.5, -8.0), (None, None, None), (None, 2.0, -1.0)],
        (),
        ("1 trace of rain counts 0.", "1 value that the service marked as doubtful is left out."),
    ),
    Sample(
        "Australian rain",
        "an Australian rain file",
        """\
Product code,Bureau of Meteorology station number,Year,Month,Day,Rainfall amount (millimetres),\
Period over which rainfall was measured (days),Quality
ZZZZ0009,000000,2031,01,30,,,
ZZZZ0009,000000,2031,01,31,0.0,1,Y
ZZZZ0009,000000,2031,02,01,,,
ZZZZ0009,000000,2031,02,02,,,
ZZZZ0009,000000,2031,02,03,24.4,4,Y
ZZZZ0009,000000,2031,02,04,0.8,1,N
ZZZZ0009,000000,2031,02,05,1.2,,N
""",
        date(2031, 1, 30),
        [(rain, None, None) for rain in (None, 0, 0, 0, 24.4, 0.8, 1.2)],
        (1, 2, 3, 4),
        (
            "1 total over several days stands on their last day.",
            "1 of them runs over the end of a month.",
        ),
    ),
    Sample(
        "Australian highs",
        "an Australian file of highs",
        """\
Product code,Bureau of Meteorology station number,Year,Month,Day,Maximum temperature (Degree C),\
Days of accumulation of maximum temperature,Quality
ZZZZ0010,000000,2031,01,01,35.4,1,Y
ZZZZ0010,000000,2031,01,02,,,
ZZZZ0010,000000,2031,01,03,28.0,1,N
""",
        NEW_YEAR,
        [(None, 35.4, None), (None, None, None), (None, 28.0, None)],
    ),
    Sample(
        "Australian lows",
        "an Australian file of lows",
        """\
Product code,Bureau of Meteorology station number,Year,Month,Day,Minimum temperature (Degree C),\
Days of accumulation of minimum temperature,Quality
ZZZZ0011,000000,2031,01,01,15.4,1,Y
ZZZZ0011,000000,2031,01,02,-0.5,1,N
""",
        NEW_YEAR,
        [(None, None, 15.4), (None, None, -0.5)],
    ),
    Sample(
        "Dutch climate",
        "a Dutch climate file, in tenths",
        """\
An invented preamble, of which one line tells of another column:
RH        = Daily precipitation amount (in 0.1 mm) (-1 for <0.05 mm)

# STN,YYYYMMDD,   TG,   TN,   TX,   RH, EV24

  999,20310101,    9,   -8,   23,   58,    3
  999,20310102,    1,  -99,   10,   -1,    1
  999,20310103,   -5,  -17,   -1,     ,    1
""",
        NEW_YEAR,
        [(5.8, 2.3, -0.8), (0, 1.0, -9.9), (None, -0.1, -1.7)],
        (),
        ("1 trace of rain counts 0.",),
    ),
    Sample(
        "British months",
        "a British table of months",
        """\
Invented
Location: 000000E 000000N, 63 metres amsl
Estimated data is marked with a * after the value.
Missing data (more than 2 days missing in month) is marked by  ---.
Sunshine data taken from an automatic sensor are marked with a #.
   yyyy  mm   tmax    tmin      af    rain     sun
              degC    degC    days      mm   hours
   2031   1    9.9     4.6       2    57.6    40.3*
   2031   2   10.4     ---       4     ---    50.1#
   2031   3   11.2*    3.5       3   35.0*   151.3
   2031   4    8.1     3.4       6    99.4    59.7   Provisional
Site closed
""",
        NEW_YEAR,
        [(57.6, 9.9, 4.6), (None, 10.4, None), (35.0, 11.2, 3.5), (99.4, 8.1, 3.4)],
        (),
        ("2 values are marked as estimated and kept.",),
        monthly=True,
    ),
    Sample(
        "Irish climate",
        "an Irish climate file",
        """\
Station Name: INVENTED
Station Height: 71 M

rain:  -  Precipitation Amount (mm)
maxtp: -  Maximum Air Temperature (C)
ind:   -  Indicator

date,ind,maxtp,ind,mintp,igmin,gmin,ind,rain,cbl
01-jan-2031,0,12.6,0,4.0,0,-2.1,0,0.1,1000.3
02-jan-2031,0,8.7,0,-2.2,0,-4.0,3, ,1010.1
""",
        NEW_YEAR,
        [(0.1, 12.6, 4.0), (None, 8.7, -2.2)],
    ),
    Sample(
        "a grid in US units",
        "a gridded time series",
        """\
Invented Time Series Data
Location:  Lat: 0.0   Lon: 0.0   Elev: 52m
Climate variables: ppt,tmin,tmax
Date,ppt (inches),tmin (degrees F),tmax (degrees F)
2031-01-01,0.60,32.0,50.0
2031-01-02,0.00,-4.0,14.0
""",
        NEW_YEAR,
        [(15.24, 10, 0), (0, -10, -20)],
        (),
        (GRID,),
    ),
    Sample(
        "a grid in metric units",
        "a gridded time series",
        """\
Invented Time Series Data
Date,ppt (mm),tmin (degrees C),tmax (degrees C)
2031-01-01,15.24,0.5,10.0
2031-01-02,0.00,-20.0,-10.0
""",
        NEW_YEAR,
        [(15.24, 10, 0.5), (0, -10, -20)],
        (),
        (GRID,),
    ),
    Sample(
        "a satellite series",
        "a satellite series by day of the year",
        """\
-BEGIN HEADER-
Invented daily data
T2M_MAX         Temperature at 2 Meters Maximum (C)
PRECTOTCORR     Precipitation Corrected (mm/day)
-END HEADER-
YEAR,DOY,T2M_MAX,T2M_MIN,PRECTOTCORR
2032,59,10.17,-4.05,1.23
2032,60,11.5,-3.0,-999.0
2032,61,9.0,0.0,0.0
""",
        date(2032, 2, 28),
        [(1.23, 10.17, -4.05), (None, 11.5, -3.0), (0, 9, 0)],
        (),
        (GRID,),
    ),
    Sample(
        "a grid by day of the year",
        "a gridded series by day of the year",
        """\
Latitude: 0.0  Longitude: 0.0
How to cite: invented
year,yday,dayl (s),prcp (mm/day),srad (W/m^2),swe (kg/m^2),tmax (deg c),tmin (deg c),vp (Pa)
2032,365,33000,1.00,200,0.00,10.50,-4.05,500
2033,1,33000,0.00,210,0.00,11.50,-3.00,510
""",
        date(2032, 12, 30),
        [(1, 10.5, -4.05), (None, None, None), (0, 11.5, -3)],
        (),
        (GRID,),
    ),
    Sample(
        "months in columns",
        "a table with a column for each month",
        """\
Rain at an invented farm (mm)
Year,Jan,Feb,Mar,Apr,May,Jun,Jul,Aug,Sep,Oct,Nov,Dec,Annual
2031,12.4,0.0,66.5,31.2,8.1,0.0,0.0,2.0,0.0,T,18.5,29.0,167.7
2032,3.0,-,28.2,22.1,,,,,,,,,
""",
        NEW_YEAR,
        [(rain, None, None) for rain in (12.4, 0, 66.5, 31.2, 8.1, 0, 0, 2, 0, 0, 18.5, 29, 3, None, 28.2, 22.1)],
        (),
        ("1 trace of rain counts 0.",),
        monthly=True,
    ),
    Sample(
        "months in columns by their whole names",
        "a table with a column for each month",
        """\
Year;January;February;March;April;May;June;July;August;September;October;November;December
2031;1,5;2;3;4;5;6;7;8;9;10;11;12
""",
        NEW_YEAR,
        [(rain * 25.4, None, None) for rain in (1.5, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12)],
        asked=Asked("in"),
        monthly=True,
    ),
    Sample(
        "own log, US",
        OWN,
        """\
My rain gauge - back yard (inches)
Date,Time,Rain,Note
1/12/31,7:00,0.60,first storm
1/13/31,7:10,T,drizzle
1/14/31,7:00,M,away
1/15/31,7:00,.96,"away since the 13th, at last"
1/18/31,7:00,0.25"
1/19/31,7:00,,
""",
        date(2031, 1, 12),
        [(rain, None, None) for rain in (15.24, 0, None, 24.384, 0, 0, 6.35, 0)],
        (),
        ("1 trace of rain counts 0.", "3 days without a figure count as dry, as the site file says."),
        Asked(days_left_out="dry"),
    ),
    Sample(
        "own log, European",
        OWN,
        """\
Datum;Regen (mm);Tmin (°C);Tmax (°C)
01.02.2031;15,2;3,3;12,8
02.02.2031;0;-2,1;17,2
03.02.2031;-;4,4;16,1
04.02.2031;Sp.;5,0;15,0
05.02.2031;1.012,5;5,0;15,0
""",
        date(2031, 2, 1),
        [(15.2, 12.8, 3.3), (0, 17.2, -2.1), (None, 16.1, 4.4), (0, 15, 5), (1012.5, 15, 5)],
        (),
        ("1 trace of rain counts 0.",),
    ),
    Sample(
        "a line of units below the headings",
        OWN,
        """\
date,tmax,tmin,tmean,Prec,Q
#,°C,°C,°C,mm/day,m³/s
01.01.2031,-12.9,-20.1,-16.5,1,143
02.01.2031,-10.9,-19.8,-15.35,0.6,110
""",
        NEW_YEAR,
        [(1, -12.9, -20.1), (0.6, -10.9, -19.8)],
    ),
    Sample(
        "a model's days",
        OWN,
        """\
latitude,longitude,elevation,utc_offset_seconds,timezone,timezone_abbreviation
0.0,0.0,38.0,0,GMT,GMT

time,precipitation_sum (mm),temperature_2m_max (°C),temperature_2m_min (°C)
2031-01-01,1.20,8.0,-0.5
2031-01-02,,9.0,1.5
""",
        NEW_YEAR,
        [(1.2, 8, -0.5), (None, 9, 1.5)],
    ),
    Sample(
        "a running total that begins anew, with a gap",
        OWN,
        """\
date,total mm
2031-12-28,400.0
2031-12-29,402.5
2031-12-30,402.5
2032-01-01,3.0
2032-01-02,3.5
2032-01-05,10.0
""",
        date(2031, 12, 28),
        [(rain, None, None) for rain in (None, 2.5, 0, 0, 3, 0.5, 0, 0, 6.5)],
        (3, 4, 6, 7, 8),
        (
            "2 totals over several days stand on their last day.",
            "1 of them runs over the end of a month.",
            "1 time the running total began anew.",
        ),
    ),
    Sample(
        "a running total by months",
        OWN,
        """\
month,cumulative rain (in)
2031-01,2
2031-02,3
2031-03,3
2031-05,7
2031-06,8
""",
        NEW_YEAR,
        [(rain, None, None) for rain in (None, 25.4, 0, None, None, 25.4)],
        (),
        ("1 rise of the running total over more than a month is left out.",),
        monthly=True,
    ),
    Sample(
        "columns parted by blanks, days as a spreadsheet writes them",
        OWN,
        """\
Date rain_in tmax_f tmin_f
5-Jan-31 1 50 32
6-Jan-31 0 59* 23
""",
        date(2031, 1, 5),
        [(25.4, 10, 0), (0, 15, -5)],
        (),
        ("1 value is marked as estimated and kept.",),
    ),
]
