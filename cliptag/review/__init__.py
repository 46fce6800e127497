"""The coach's words: the document, its edits, its history and its file. No Qt, no media."""
