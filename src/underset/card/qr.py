"""QR code of a card's record."""

from __future__ import annotations

import io


def qr_svg(payload: str, *, dark: str = "#15202b", light: str = "#ffffff") -> str:
    """The payload as a QR code (ISO/IEC 18004), error level M, with its quiet zone."""
    import segno

    out = io.BytesIO()
    code = segno.make(payload, error="m", micro=False, boost_error=False)
    code.save(
        out, kind="svg", border=2, dark=dark, light=light, xmldecl=False, nl=False, omitsize=True
    )
    return out.getvalue().decode("utf-8")
