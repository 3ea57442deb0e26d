"""The bay app, served to tablets in the workshop."""

from underset.web.app import create_app
from underset.web.options import ServeOptions

__all__ = ["ServeOptions", "create_app"]
