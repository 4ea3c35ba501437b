"""The workbench: the shopper's day in a browser. Thin: every screen calls what the command line calls.

In: requests from a browser on this machine. Out: pages rendered here, small JSON answers, files. Begin reading at
`app.create_app`, which puts together the guard (who may ask), the screens (`screens/`, a module each) and the desk
(what a running server knows). A screen gets a `View`: the request with its language, unit and theme.
"""

from halfinch.workbench.app import create_app
from halfinch.workbench.settings import Settings

__all__ = ["Settings", "create_app"]
