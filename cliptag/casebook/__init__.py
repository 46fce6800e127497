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

__all__ = [
    "FOLDER_VARIABLE",
    "STATES",
    "STATE_WORDS",
    "TOPICS",
    "Casebook",
    "Client",
    "ClientRecord",
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
    "default_folder",
    "export_job",
    "repair_casebook",
]
