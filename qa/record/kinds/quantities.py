"""The measured quantities of the kinds: unit, range and the sentence for an impossible number.

The ranges only refuse what cannot be true of any roof on Earth. Whether a possible value is a good
one is for the specification to say.
"""

from typing import Annotated

from qa.record import fields
from qa.record.schema import PersonalReader, Withheld

Text = Annotated[str, fields.text]
Key = Annotated[str, fields.key]
BayKey = Annotated[str, fields.bay_key]
BayKeys = Annotated[tuple[str, ...], fields.some(fields.bay_key, what="bay")]
Keys = Annotated[tuple[str, ...], fields.some(fields.key, what="key")]
PersonalText = Annotated[str | Withheld, PersonalReader(fields.text)]

AirC = Annotated[
    float, fields.number(-60, 60, reason="air on a roof is between −60 and 60 °C; check the unit")
]
DeckC = Annotated[
    float, fields.number(-60, 100, reason="a deck is between −60 and 100 °C; check the unit")
]
HumidityPct = Annotated[
    float,
    fields.number(0, 100, above=True, reason="humidity is above 0 and at most 100 %"),
]
MoisturePct = Annotated[
    float, fields.number(0, 200, reason="moisture content is between 0 and 200 % of the dry mass")
]
WindMPerS = Annotated[float, fields.number(0, 120, reason="wind is between 0 and 120 m/s")]
MassKg = Annotated[
    float,
    fields.number(
        0, 5_000, above=True, reason="a mix weighs more than nothing and at most 5000 kg"
    ),
]
CatalystMl = Annotated[
    float, fields.number(0, 100_000, reason="a volume of catalyst cannot be less than nothing")
]
Seconds = Annotated[
    float, fields.number(0, 86_400, reason="stirring takes between 0 seconds and a day")
]
LengthM = Annotated[
    float, fields.number(0, 10_000, above=True, reason="a length is more than nothing, in metres")
]
SlopeDeg = Annotated[
    float, fields.number(0, 60, reason="a flat roof's slope is between 0 and 60 degrees")
]
MatGPerM2 = Annotated[
    float, fields.number(50, 2_000, reason="mat weighs between 50 and 2000 g/m²; check the unit")
]
Layers = Annotated[int, fields.count("a roof has between 1 and 10 layers of mat", least=1, most=10)]
Quantity = Annotated[
    float, fields.number(0, 1e6, above=True, reason="a quantity is more than nothing")
]
QuantityOrNone = Annotated[
    float, fields.number(0, 1e6, reason="a quantity cannot be less than nothing")
]
DensityGPerMl = Annotated[
    float, fields.number(0.5, 3, reason="a liquid of this trade has 0.5 to 3 g/ml; check the unit")
]
ActiveOxygenPct = Annotated[
    float, fields.number(0, 30, above=True, reason="active oxygen is above 0 and at most 30 %")
]
Uncertainty = Annotated[
    float, fields.number(0, 1e6, reason="an uncertainty cannot be less than nothing")
]
OpaqueCm2 = Annotated[
    float, fields.number(0, 1e6, reason="an area cannot be less than nothing, in cm²")
]
ExaminedM2 = Annotated[
    float, fields.number(0, 1e4, above=True, reason="the examined area is more than nothing, in m²")
]
Pinholes = Annotated[int, fields.count("pinholes are counted from 0")]
TrappedAir = Annotated[int, fields.count("air voids are counted from 0")]
Passes = Annotated[int, fields.count("passes of the roller are counted from 0", most=1_000)]
ThicknessesMm = Annotated[
    tuple[float, ...],
    fields.some(
        fields.number(0, 100, above=True, reason="a laminate is between 0 and 100 mm thick"),
        what="thickness",
    ),
]
Measured = Annotated[
    float, fields.number(-1e6, 1e6, reason="no measured value of this trade is as large as that")
]
LatitudeDeg = Annotated[
    float | Withheld,
    PersonalReader(fields.number(-90, 90, reason="a latitude is between −90 and 90 degrees")),
]
LongitudeDeg = Annotated[
    float | Withheld,
    PersonalReader(fields.number(-180, 180, reason="a longitude is between −180 and 180 degrees")),
]
Truth = Annotated[bool, fields.truth]
