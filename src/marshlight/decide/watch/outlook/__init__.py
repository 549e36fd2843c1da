"""What lies ahead of a run: its lives run on, what makes it doubtful, which reading helps most."""

from marshlight.decide.watch.outlook.explained import Share, explained_share
from marshlight.decide.watch.outlook.habit import Habit, feast_of, habit_of
from marshlight.decide.watch.outlook.look import SOUR_PH, Outlook, look_ahead
from marshlight.decide.watch.outlook.worth import Worth, drivers, worth_of_readings

__all__ = [
    "SOUR_PH",
    "Habit",
    "Outlook",
    "Share",
    "Worth",
    "drivers",
    "explained_share",
    "feast_of",
    "habit_of",
    "look_ahead",
    "worth_of_readings",
]
