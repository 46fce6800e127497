"""Clients, their consent, their weeks: one SQLite file, and a folder that reads without it.

with Casebook.open(default_folder()) as book:
    for clip in book.day().to_review:
        print(clip.client, book.review_path(clip))
"""

from cliptag.casebook.book import (
    FOLDER_VARIABLE,
    Casebook,
    default_folder,
    repair_casebook,
)
from cliptag.casebook.job import ExportOutcome, ExportTask, export_job
from cliptag.casebook.model import (
    STATE_WORDS,
    STATES,
    TOPICS,
    Client,
    ClientRecord,
    Day,
    Erased,
    Found,
    Imported,
    KeptTakeHome,
    Missing,
    PlanWeek,
    Problem,
    Programme,
    ReceivedClip,
    State,
    Tally,
)
from cliptag.casebook.standing import (
    WEEK_WORDS,
    ConsentStanding,
    WeekStanding,
    WeekState,
    consent_of,
    present_programme,
    to_compare,
    weeks_of,
)
from cliptag.casebook.watching import Watch

__all__ = [
    "FOLDER_VARIABLE",
    "STATES",
    "STATE_WORDS",
    "TOPICS",
    "WEEK_WORDS",
    "Casebook",
    "Client",
    "ClientRecord",
    "ConsentStanding",
    "Day",
    "Erased",
    "ExportOutcome",
    "ExportTask",
    "Found",
    "Imported",
    "KeptTakeHome",
    "Missing",
    "PlanWeek",
    "Problem",
    "Programme",
    "ReceivedClip",
    "State",
    "Tally",
    "Watch",
    "WeekStanding",
    "WeekState",
    "consent_of",
    "default_folder",
    "export_job",
    "present_programme",
    "repair_casebook",
    "to_compare",
    "weeks_of",
]
