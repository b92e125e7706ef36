"""Pictures drawn by code for the demonstration job: site photographs in look, marked as drawn.

`draw` takes a `DrawnPhoto`, which names a subject, a seed, an hour and a weather, and returns a
JPEG file. The same photo gives the same bytes; nothing is read from clock, disk or network.
"""

from qa.photos.drawn.bandage import Bandage, Joint
from qa.photos.drawn.deck_details import FixingPattern, WallGap
from qa.photos.drawn.develop import MARK, Place
from qa.photos.drawn.edges import Edge, EdgeKind, Finish
from qa.photos.drawn.instruments import AirMeter, DeckThermometer, MoistureMeter
from qa.photos.drawn.labels import BatchLabel
from qa.photos.drawn.laminate_details import Pinholes, TransparentBay, WhitePatches
from qa.photos.drawn.laminated_roof import FinishedRoof, MatRolledOut, TopcoatHalfOn, WetLaminate
from qa.photos.drawn.light import Weather
from qa.photos.drawn.outlets import Outlet
from qa.photos.drawn.overlaps import TrimOverlap
from qa.photos.drawn.photo import DrawnPhoto, draw
from qa.photos.drawn.rain import DryingAfterRain, RainOnCover
from qa.photos.drawn.rolling import RollerAtWork, TopcoatRoller
from qa.photos.drawn.roof import RoofShape
from qa.photos.drawn.sanding import Sanding, WipedSurface
from qa.photos.drawn.stripped_roof import BoardsBeingLaid, OldCovering, OpenJoists
from qa.photos.drawn.studio import Subject
from qa.photos.drawn.weighing import Scale

__all__ = [
    "MARK",
    "AirMeter",
    "Bandage",
    "BatchLabel",
    "BoardsBeingLaid",
    "DeckThermometer",
    "DrawnPhoto",
    "DryingAfterRain",
    "Edge",
    "EdgeKind",
    "Finish",
    "FinishedRoof",
    "FixingPattern",
    "Joint",
    "MatRolledOut",
    "MoistureMeter",
    "OldCovering",
    "OpenJoists",
    "Outlet",
    "Pinholes",
    "Place",
    "RainOnCover",
    "RollerAtWork",
    "RoofShape",
    "Sanding",
    "Scale",
    "Subject",
    "TopcoatHalfOn",
    "TopcoatRoller",
    "TransparentBay",
    "TrimOverlap",
    "WallGap",
    "Weather",
    "WetLaminate",
    "WhitePatches",
    "WipedSurface",
    "draw",
]
