"""The words that a client reads, in the client's language, from gettext catalogues.

words = words_of("de")
words.say("Your exercises")                     # 'Deine Übungen'
words.count("{count} note", "{count} notes", 3)  # '3 Anmerkungen'
"""

from cliptag.words.catalogues import LANGUAGES, words_of
from cliptag.words.words import ENGLISH, Words

__all__ = ["ENGLISH", "LANGUAGES", "Words", "words_of"]
