"""Where the viewers' eyes are, from body measures, and where the floor is under the case; mm."""

from kit.casework import Casework
from kit.room import Seats

#: Floor to eye of a seated person without shoes, mean of men and of women, mm.
#: Source: ansur-2 (eye height sitting plus popliteal height, computed from the raw data).
EYE_OVER_FLOOR = (1234.0, 1136.0)
#: The same from the 5th percentile of women to the 95th of men, mm. Source: ansur-2.
EYE_EXTREMES = (1063.0, 1315.0)
#: A sofa is lower than the seat at which that was measured by 40 to 100 mm; from memory.
SOFA = 70.0
#: The same, least and most, mm; from memory.
SOFA_LEAST, SOFA_MOST = 40.0, 100.0
#: From the eyes down to a hand in the lap that holds the remote control, mm; from memory.
HAND_BELOW = 450.0


def eye_height(seats: Seats) -> float:
    """Height of the eyes above the floor: as given, or the mean of men and women on a sofa."""
    if seats.eye_height is not None:
        return seats.eye_height
    return sum(EYE_OVER_FLOOR) / len(EYE_OVER_FLOOR) - SOFA


def eye_span(seats: Seats) -> tuple[float, float]:
    """Lowest and highest eyes above the floor, mm: as given, or from a short woman on a low sofa
    to a tall man on a high one.
    """
    if seats.eye_height is not None:
        return (seats.eye_height, seats.eye_height)
    return (EYE_EXTREMES[0] - SOFA_MOST, EYE_EXTREMES[1] - SOFA_LEAST)


def floor(casework: Casework) -> float:
    """Height of the floor in the room's coordinates."""
    return casework.floor
