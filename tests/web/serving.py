"""The application on a port of this machine, for a real browser."""

from __future__ import annotations

from contextlib import AbstractContextManager

from tests.web.conftest import Site

from page_pictures import serving


def served(site: Site) -> AbstractContextManager[str]:
    """The address of a server on that site's record, until the block is left."""
    return serving(site.store, site.photos)
