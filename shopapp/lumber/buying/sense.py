"""What is asked back about a board, and what cannot be, whether it was typed or came in a table."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal

from planner.measures import Length

# Longer boards there are, but a slip of the unit is likelier.
ASKED_BEYOND = Length.of_mm(10_000)
# Meters for wood read from about 6 % to fibre saturation near 30 %; beyond, they tell little (common practice, no
# source). Bone dry or dripping wet is rather a slip than a reading.
LEAST_USUAL, MOST_USUAL = Decimal(4), Decimal(30)
MOST_MOISTURE = 60

GIFT = "The price is nothing."
LONGER = "That is longer than 10 m."
READING = "A meter seldom shows that: readings lie between 4 and 30 %."


def is_odd_reading(moisture: Decimal) -> bool:
    return not LEAST_USUAL <= moisture <= MOST_USUAL


def no_delivery_day(on: date, today: date) -> str:
    """Why nothing can have been bought on that day; nothing where it can."""
    if on.year < 1900 or on > today + timedelta(days=366):
        return "That is no day of a delivery. Write a day since 1900, at most a year ahead."
    return ""


def day_amiss(
    moisture: Decimal | None, moisture_on: date | None, fit_on: date | None, today: date
) -> list[tuple[str, str]]:
    """What is wrong with the days of a board: the field and words, each field once."""
    found = {}
    if moisture_on and moisture is None:
        found["moisture_on"] = "There is no reading of that day. Write what the meter showed, or empty the day."
    if moisture_on and not 1900 <= moisture_on.year <= today.year:
        found["moisture_on"] = "That is no day of a reading. Write a day since 1900, at the latest today."
    elif moisture_on and moisture_on > today:
        found["moisture_on"] = "That day is still to come. Write the day it was read."
    if fit_on and not 1900 <= fit_on.year <= today.year + 20:
        found["fit_on"] = "That is no day to mill on. Write one since 1900, at most twenty years ahead."
    elif fit_on and moisture_on and "moisture_on" not in found and fit_on < moisture_on:
        found["fit_on"] = "It cannot be fit before its meter reading. Write a later day."
    return list(found.items())
