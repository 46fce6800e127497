"""The watch page: one file beside the video that a browser shows without a network."""

from cliptag.export.page.page import PagePicture, Watching, watch_page

__all__ = ["PagePicture", "Watching", "watch_page"]
