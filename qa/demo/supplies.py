"""What came to the site: the crew's instruments, and every lot with its batch."""

from __future__ import annotations

from datetime import date

from qa.demo.calendar import DECK_DAY, NELL, ORLA, SURVEY_DAY
from qa.demo.diary import About, Diary
from qa.photos.drawn import BatchLabel, Weather
from qa.record.kinds.supplies import Instrument, Lot, Unit
from qa.trade.vocabulary import Material, Stage

RESIN_A, RESIN_B, TOPCOAT, CATALYST = "resin A", "resin B", "topcoat", "catalyst"
MAT, BANDAGE, ADHESIVE, SOLVENT, BOARDS = "mat", "bandage", "adhesive", "solvent", "boards"

TAPE, LEVEL, MOISTURE, SCALE = "tape", "level", "moisture meter", "scale"
DECK_PROBE, AIR_PROBE, HYGROMETER, LOGGER = "deck probe", "air probe", "hygrometer", "logger"

_INSTRUMENTS = (
    Instrument(
        instrument=TAPE,
        name="Steel tape, 5 m",
        measures="length, mm",
        serial="ST-5-0417",
        calibrated_on=date(2026, 1, 12),
        calibration_due=date(2027, 1, 12),
        expanded_uncertainty=1.0,
    ),
    Instrument(
        instrument=LEVEL,
        name="Digital level, 1.2 m",
        measures="fall, mm/m",
        serial="DL-1.2-093",
        calibrated_on=date(2026, 1, 12),
        calibration_due=date(2027, 1, 12),
        expanded_uncertainty=0.5,
    ),
    Instrument(
        instrument=MOISTURE,
        name="Pin moisture meter",
        measures="moisture of wood, %",
        serial="MM-2209",
        calibrated_on=date(2026, 2, 3),
        calibration_due=date(2027, 2, 3),
        expanded_uncertainty=1.2,
    ),
    Instrument(
        instrument=DECK_PROBE,
        name="Contact thermometer",
        measures="deck temperature, °C",
        serial="CT-1183",
        calibrated_on=date(2026, 2, 3),
        calibration_due=date(2027, 2, 3),
        expanded_uncertainty=0.5,
    ),
    Instrument(
        instrument=AIR_PROBE,
        name="Air meter, its thermometer",
        measures="air temperature, °C",
        serial="AH-0752",
        calibrated_on=date(2026, 2, 3),
        calibration_due=date(2027, 2, 3),
        expanded_uncertainty=0.5,
    ),
    Instrument(
        instrument=HYGROMETER,
        name="Air meter, its hygrometer",
        measures="relative humidity, %",
        serial="AH-0752",
        calibrated_on=date(2026, 2, 3),
        calibration_due=date(2027, 2, 3),
        expanded_uncertainty=2.0,
    ),
    Instrument(
        instrument=LOGGER,
        name="Logger, left on the deck overnight",
        measures="deck temperature, °C",
        serial="TL-3340",
        calibrated_on=date(2026, 2, 3),
        calibration_due=date(2027, 2, 3),
        expanded_uncertainty=0.5,
    ),
    Instrument(
        instrument=SCALE,
        name="Platform scale, 30 kg",
        measures="mass, kg",
        serial="PS-30-661",
        calibrated_on=date(2026, 3, 17),
        calibration_due=date(2027, 3, 17),
        expanded_uncertainty=0.02,
    ),
    Instrument(
        instrument="cylinder",
        name="Measuring cylinder, 250 ml",
        measures="volume of catalyst, ml",
        serial="MC-250-12",
        calibrated_on=date(2026, 3, 17),
        calibration_due=date(2027, 3, 17),
        expanded_uncertainty=1.0,
    ),
    Instrument(
        instrument="gauge",
        name="Laminate gauge",
        measures="thickness of laminate, mm",
        serial="LG-071",
        calibrated_on=date(2026, 3, 17),
        calibration_due=date(2027, 3, 17),
        expanded_uncertainty=0.05,
    ),
)

_RESIN_PRODUCT = "Laminating resin, orthophthalic, pre-accelerated"

_LOTS = (
    Lot(
        lot=BOARDS,
        material=Material.BOARD,
        product="OSB/3 board, 18 mm, tongue and groove, 2400 x 600 mm",
        batch_number="B 26-118",
        quantity=26,
        unit=Unit.PIECE,
    ),
    Lot(
        lot=ADHESIVE,
        material=Material.ADHESIVE,
        product="Trim adhesive, polyurethane, cartridge 310 ml",
        batch_number="A 7702",
        use_by=date(2027, 1, 31),
        quantity=6,
        unit=Unit.PIECE,
    ),
    Lot(
        lot=RESIN_A,
        material=Material.RESIN,
        product=_RESIN_PRODUCT,
        batch_number="R 60412",
        use_by=date(2026, 9, 30),
        quantity=40,
        unit=Unit.KG,
        density_g_per_ml=1.1,
    ),
    Lot(
        lot=RESIN_B,
        material=Material.RESIN,
        product=_RESIN_PRODUCT,
        batch_number="R 60455",
        use_by=date(2026, 10, 31),
        quantity=25,
        unit=Unit.KG,
        density_g_per_ml=1.1,
    ),
    Lot(
        lot=CATALYST,
        material=Material.CATALYST,
        product="MEKP catalyst, medium reactivity",
        batch_number="K 1907",
        use_by=date(2026, 8, 31),
        quantity=3,
        unit=Unit.L,
        density_g_per_ml=1.18,
        active_oxygen_pct=9.0,
    ),
    Lot(
        lot=MAT,
        material=Material.MAT,
        product="Chopped strand mat, 450 g/m², 1 m wide",
        batch_number="M 0338",
        quantity=45,
        unit=Unit.M2,
    ),
    Lot(
        lot=BANDAGE,
        material=Material.BANDAGE,
        product="Glass bandage, 450 g/m², 75 mm wide",
        batch_number="M 0341",
        quantity=100,
        unit=Unit.M,
    ),
    Lot(
        lot=TOPCOAT,
        material=Material.TOPCOAT,
        product="Topcoat, slate grey",
        batch_number="T 2291",
        use_by=date(2026, 8, 15),
        quantity=15,
        unit=Unit.KG,
    ),
    Lot(
        lot=SOLVENT,
        material=Material.SOLVENT,
        product="Acetone for wiping",
        batch_number="S 514",
        quantity=5,
        unit=Unit.L,
    ),
)


def list_the_instruments(diary: Diary) -> None:
    """Registers the instruments that the crew takes along."""
    diary.day = SURVEY_DAY
    for number, instrument in enumerate(_INSTRUMENTS):
        diary.write("09:12" if number < 5 else "09:13", ORLA, instrument)


def take_the_delivery(diary: Diary) -> None:
    """Registers every lot at the kerb, and photographs the labels of those that cure or bind."""
    diary.day, diary.stage, diary.weather = DECK_DAY, Stage.DECK, Weather.OVERCAST
    for lot in _LOTS[:5]:
        diary.write("07:35", NELL, lot)
    for lot in _LOTS[5:]:
        diary.write("07:36", NELL, lot)
    _photograph_labels(diary)


def _photograph_labels(diary: Diary) -> None:
    words = {
        RESIN_A: (("Laminating resin", "pre-accelerated"), "20 kg", "first batch, two kegs"),
        RESIN_B: (("Laminating resin", "pre-accelerated"), "25 kg", "second batch, one keg"),
        CATALYST: (("MEKP catalyst", "medium reactivity"), "3 x 1 l", "the hardener"),
        MAT: (
            ("Chopped strand", "mat 450 g/m²"),
            "45 m²",
            "tag off the mat, stuck on a keg",
        ),
        TOPCOAT: (("Topcoat", "slate grey"), "15 kg", "the topcoat"),
    }
    by_key = {lot.lot: lot for lot in _LOTS}
    for minute, (key, (product, contents, said)) in enumerate(words.items(), start=38):
        lot = by_key[key]
        label = BatchLabel(
            product=product,
            batch_number=lot.batch_number,
            use_by=lot.use_by,
            contents=contents,
        )
        caption = f"Batch label: {said}, {lot.batch_number}"
        diary.photograph(f"07:{minute}", NELL, label, caption, About(lot=key), portrait=True)
