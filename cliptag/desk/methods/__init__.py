"""Published reference methods on the desk."""

from cliptag.desk.methods.page import MethodsPage

__all__ = ["MethodsPage"]
