"""`book`, `backup`, `restore`, `export`, `import`, `person`: what is kept, and who may sign in."""

from __future__ import annotations

from pathlib import Path
from re import findall
from typing import TYPE_CHECKING, Annotated, Any

import typer

from underset.cli.options import JsonFile, Language, Units, chosen, say_line, write_out
from underset.errors import InputError, StoreError

if TYPE_CHECKING:
    from underset.app.bookkeeping import Line
    from underset.app.kept_plans import PlanAgain
    from underset.app.shop import Actor, Shop

StoreAt = Annotated[
    str | None, typer.Option("--store", help="Store: a file or postgresql:// address.")
]
ByName = Annotated[str, typer.Option("--by", help="Who does it; stands in the book.")]
Kind = Annotated[str, typer.Option("--kind", help="Kind of entry, such as 'daily check'.")]
Subject = Annotated[str, typer.Option("--subject", help="Subject, such as bay/north.")]
ByPerson = Annotated[str, typer.Option("--person", help="Only entries of this person.")]
OnDay = Annotated[str, typer.Option("--day", help="Only entries of this day (UTC).")]
Limit = Annotated[int, typer.Option("--limit", min=1, max=500, help="How many entries.")]
TableKind = Annotated[str, typer.Option("--kind", help="For a table: vehicle, adapter or lift.")]
DIFFERS, MOST_TOLD = 3, 20
ROLE_HELP = "technician, lead or inspector; may be repeated."

book = typer.Typer(
    no_args_is_help=True, help="The workshop's book: list entries, check the chain, old cards."
)


@book.command("list")
def list_entries(
    kind: Kind = "",
    subject: Subject = "",
    person: ByPerson = "",
    day: OnDay = "",
    limit: Limit = 20,
    json: JsonFile = None,
    store: StoreAt = None,
) -> int:
    """List entries, newest first; hashes are shortened here, whole in --json."""
    from underset.app import bookkeeping

    asked = bookkeeping.Asked(kind, subject, person, bookkeeping.day_in(day, "--day"))
    with _shop(store) as shop:
        lines = bookkeeping.search(shop, asked, limit).lines
    if json:
        _as_json(json, lines)
        return 0
    for line in lines:
        facts = "; ".join(f"{k} {_brief(v)}" for k, v in line.facts)
        said = f"{line.seq:>6}  {line.at:%Y-%m-%d %H:%M:%S} UTC  {line.person}  {line.kind}"
        say_line(f"{said}  {line.subject}  {facts}")
    return 0


def _brief(fact: str) -> str:
    """A fact for people: one hash by its beginning, many by their number."""
    hashes = findall(r"\b[0-9a-f]{64}\b", fact)
    if len(hashes) > 1:
        return f"{len(hashes)} documents"
    return fact.replace(hashes[0], f"{hashes[0][:12]}…") if hashes else fact


def _as_json(target: str, lines: tuple[Line, ...]) -> None:
    from dataclasses import asdict

    rows = [{**asdict(x), "at": x.at.isoformat(), "facts": dict(x.facts)} for x in lines]
    if target == "-":
        say_line(_json_text(rows).rstrip())
    else:
        write_out(Path(target), _json_text(rows))


def _json_text(value: Any) -> str:
    import json as data

    return data.dumps(value, indent=2, ensure_ascii=False) + "\n"


@book.command("verify")
def verify(store: StoreAt = None) -> int:
    """Walk the whole chain; 0 when it is whole, 6 when it is broken, naming the first bad link."""
    from underset.app import bookkeeping

    with _shop(store) as shop:
        found = bookkeeping.chain(shop)
    if found.whole:
        say_line(f"The chain is whole: {found.events} entries, last hash {found.head}")
        return 0
    say_line(f"The chain is broken at {found.where}: {found.why}")
    return 6


@book.command("card")
def card(
    plan: Annotated[str, typer.Argument(help="Plan in the book, such as plan-0a1b2c3d4e5f.")],
    target: Annotated[Path, typer.Argument(help="File to write: .pdf, .svg or .html; or .json.")],
    units: Units = None,
    language: Language = None,
    store: StoreAt = None,
) -> int:
    """Make the card of a plan in the book again, with the figures of then; .json is its result.

    The plan is made anew from the records and papers of then: 0 when its result is the same, 3 when
    this version comes to others, which are listed and stand on the card as a remark.
    """
    from underset.app import kept_plans, rendering

    kind = rendering.ending(target)
    with _shop(store) as shop:
        if kind == ".json":
            write_out(target, _json_text(kept_plans.result_of(shop, plan)))
            say_line(f"{target}: the result of {plan} as it was written down")
            return 0
        again = kept_plans.plan_again(shop, plan)
    about = again.workshop.about
    unit = chosen("--units", units, about.units, ("metric", "inch"))
    tongue = chosen("--language", language, about.language, ("en", "de"))
    write_out(target, kept_plans.card_again(again, unit, tongue, kind))
    say_line(f"{target}: {plan} of {again.at:%Y-%m-%d %H:%M} UTC by {again.event.person}")
    return _compared(again)


def _compared(again: PlanAgain) -> int:
    both = f"Made then by version {again.version}; version {again.version_now} finds"
    if not again.differs:
        say_line(f"{both} the same.")
        return 0
    count = len(again.differs)
    say_line(f"{both} {count} figures or words otherwise. The card keeps those of then:")
    for d in again.differs[:MOST_TOLD]:
        say_line(f"  {d.place}: then {d.then}, now {d.now}")
    if len(again.differs) > MOST_TOLD:
        say_line(f"  and {len(again.differs) - MOST_TOLD} more")
    return DIFFERS


def backup(
    target: Annotated[Path, typer.Argument(help="File to write.")],
    check: Annotated[
        bool, typer.Option("--check/--no-check", help="Restore the copy and compare every row.")
    ] = True,
    store: StoreAt = None,
    by: ByName = "underset",
) -> int:
    """Copy the store to a file while it is in use, and prove the copy."""
    from underset.app import keeping

    with _shop(store) as shop:
        copied = keeping.backed_up(shop, target, _by(by), check)
    proved = "restored and compared" if check else "not checked"
    say_line(f"{copied.place}: {copied.events} entries, last hash {copied.head} ({proved})")
    return 0


def restore(
    source: Annotated[Path, typer.Argument(help="Backup or book's file.")],
    store: StoreAt = None,
    by: ByName = "underset",
) -> int:
    """Put a backup into a new or empty store; one that holds anything is refused."""
    from underset.app import home, keeping
    from underset.app.shop import FILE_NAME

    into = store if store else home() / FILE_NAME
    if isinstance(into, Path):
        into.parent.mkdir(parents=True, exist_ok=True)
    copied = keeping.restored(source, into, _by(by))
    say_line(f"{copied.place}: {copied.events} entries, last hash {copied.head}")
    return 0


def export(
    target: Annotated[Path, typer.Argument(help="Folder, a table .csv, or the book .jsonl.")],
    kind: TableKind = "",
    store: StoreAt = None,
    by: ByName = "underset",
) -> int:
    """Write the workshop as a folder, one kind of record as a table, or the whole book."""
    from underset.app import keeping

    with _shop(store) as shop:
        moved = keeping.export(shop, target, kind, _by(by))
    say_line(f"{target}: {moved.records} {moved.what}")
    if moved.partly:
        told = ", ".join(moved.partly[:MOST_TOLD])
        say_line(f"More than a table holds (zones, doors, ...) stays behind of {told}.")
        say_line("A folder takes everything along.")
    return 0


def take_in(
    source: Annotated[Path, typer.Argument(help="A workshop's folder, or a .csv or .xlsx table.")],
    kind: TableKind = "",
    store: StoreAt = None,
    by: ByName = "underset",
) -> int:
    """Put a folder or a table on file: every record or none; each bad row is named."""
    from underset.app import keeping, open_shop

    with open_shop(store) if source.is_dir() else _shop(store) as shop:
        moved = keeping.take_in(shop, source, kind, _by(by))
    say_line(f"{source}: {moved.records} {moved.what} read, {moved.changed} changed")
    return 0


def person(
    account: Annotated[str, typer.Option("--account", help="Person on file.")] = "",
    role: Annotated[list[str] | None, typer.Option("--role", help=ROLE_HELP)] = None,
    secret_file: Annotated[
        Path | None,
        typer.Option("--secret-file", help="File with the PIN or password; else asked."),
    ] = None,
    close: Annotated[bool, typer.Option("--close", help="Close the account.")] = False,
    store: StoreAt = None,
    by: ByName = "underset",
) -> int:
    """List accounts; or open one, set its PIN or password and roles, or close it."""
    from underset.app import accounts

    with _shop(store) as shop:
        if not account:
            for a in accounts.accounts(shop):
                say_line(f"{a.name}  {', '.join(a.roles)}  {'open' if a.active else 'closed'}")
        elif close:
            _closed(shop, account, _by(by))
            say_line(f"{account}: closed")
        else:
            _opened(shop, account, tuple(role or ()), _secret(secret_file), _by(by))
            say_line(f"{account}: open")
    return 0


def _closed(shop: Shop, name: str, by: Actor) -> None:
    from underset.app import accounts

    kept = next((a for a in accounts.accounts(shop) if a.name == name), None)
    if kept is None:
        raise InputError("--account", name, "a person with an account")
    accounts.change(shop, name, kept.version, by, accounts.Change(active=False))


def _opened(shop: Shop, name: str, roles: tuple[str, ...], secret: str, by: Actor) -> None:
    from underset.app import accounts

    kept = next((a for a in accounts.accounts(shop) if a.name == name), None)
    if kept is None:
        accounts.open_account(shop, name, secret, roles or ("technician",), by)
        return
    kept = accounts.change(shop, name, kept.version, by, accounts.Change(secret=secret))
    if roles:
        kept = accounts.change(shop, name, kept.version, by, accounts.Change(roles=roles))
    if not kept.active:
        accounts.change(shop, name, kept.version, by, accounts.Change(active=True))


def _secret(file: Path | None) -> str:
    """Decision: never an option's value, which other users of the machine could read."""
    if file is None:
        return str(typer.prompt("PIN or password", hide_input=True, confirmation_prompt=True))
    try:
        return file.read_text(encoding="utf-8").rstrip("\r\n")
    except (OSError, UnicodeDecodeError) as error:
        raise InputError("--secret-file", str(file), f"cannot be read: {error}") from error


def _shop(store: str | None) -> Shop:
    """Decision: the store must be there: neither a slip of the pen nor a look makes a new one."""
    from underset.app import FILE_NAME, home, open_shop

    if store is None and not (home() / FILE_NAME).exists():
        raise StoreError(
            f"there is no store at {home() / FILE_NAME} yet. Take your workshop's folder in with "
            "`import FOLDER`; or start `serve`, which begins with the invented sample."
        )
    return open_shop(store, create=False)


def _by(name: str) -> Actor:
    from underset.app import Actor

    return Actor(name, "command line")
