"""Standing: what stands at an order's address, its page or a notice in its place."""

from __future__ import annotations

from msgspec import Struct

from explain.site.retired import Retirement

UNCLEAR = "another order"
"""What a page leads on to where a file speaks of a remake but cannot be read just now."""


class Standing(Struct, frozen=True):
    """What stands there. retirement: when its page is, or will be, put away; is_away: it is.

    led_to: number of the newer order whose page takes its place; empty where none does.
    """

    retirement: Retirement | None = None
    is_away: bool = False
    led_to: str = ""

    @property
    def is_page(self) -> bool:
        """True where the order's own page stands there."""
        return not (self.is_away or self.led_to)


STANDING = Standing()
