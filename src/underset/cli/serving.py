"""`serve`: the bay app on this machine, or on the shop's network with accounts."""

from __future__ import annotations

import gc
import socket
from pathlib import Path
from typing import Annotated

import typer

from underset.cli.options import WorkshopDir, say_line
from underset.errors import InputError

Port = Annotated[int, typer.Option("--port", min=1, max=65535, help="Port to answer on.")]
Lan = Annotated[bool, typer.Option("--lan", help="Answer on the shop's network; needs accounts.")]
Cert = Annotated[Path | None, typer.Option("--cert", help="Certificate file for TLS.")]
Key = Annotated[Path | None, typer.Option("--key", help="Key file of the certificate.")]
Store = Annotated[
    str | None, typer.Option("--store", help="Store: a file or postgresql:// address.")
]


def serve(
    port: Port = 8750,
    lan: Lan = False,
    cert: Cert = None,
    key: Key = None,
    workshop: WorkshopDir = None,
    store: Store = None,
) -> int:
    """Serve the bay app. Without --lan only this machine reaches it.

    An empty store takes in the workshop named, or the invented sample.
    """
    import uvicorn

    from underset.app import open_shop, sample_folder
    from underset.web import ServeOptions, create_app

    if (cert is None) != (key is None):
        raise InputError("--cert", str(cert), "a certificate and its key are given together")
    shop = open_shop(store, seed=workshop or sample_folder())
    if lan and not shop.has_accounts():
        raise InputError(
            "--lan", "no account", "at least one account",
            "Add one with: underset person --account NAME --role lead",
        )  # fmt: skip
    host = "0.0.0.0" if lan else "127.0.0.1"
    options = ServeOptions(port=port, lan=lan, tls=cert is not None, hosts=_hosts(lan))
    scheme = "https" if cert else "http"
    say_line(f"{shop.workshop().about.name}: {scheme}://{_shown(lan)}:{port}/  (stop with Ctrl-C)")
    if shop.workshop().about.invented:
        say_line("Invented sample data: not for use.")
    app = create_app(shop, options)
    # Decision: what is loaded by now stays; a full collection over it would hold up a drag.
    gc.collect()
    gc.freeze()
    try:
        uvicorn.run(
            app, host=host, port=port, log_level="warning",
            ssl_certfile=str(cert) if cert else None, ssl_keyfile=str(key) if key else None,
            server_header=False, proxy_headers=False,
        )  # fmt: skip
    finally:
        shop.close()
    return 0


def _hosts(lan: bool) -> tuple[str, ...]:
    own = ("127.0.0.1", "localhost", "[::1]")
    if not lan:
        return own
    name = socket.gethostname()
    found = {info[4][0] for info in socket.getaddrinfo(name, None, socket.AF_INET)}
    return (*own, name, name.lower(), *(str(f) for f in found), *_outward())


def _outward() -> tuple[str, ...]:
    """The address of this machine on its network, found without sending anything."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("192.0.2.1", 9))
        except OSError:
            return ()
        return (str(probe.getsockname()[0]),)


def _shown(lan: bool) -> str:
    return (_outward() or (socket.gethostname(),))[0] if lan else "127.0.0.1"
