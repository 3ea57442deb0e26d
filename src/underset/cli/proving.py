"""`selftest`: the reference cases again, on this machine."""

from __future__ import annotations

from underset.cli.options import say_line

FAILED = 70


def selftest() -> int:
    """Run the reference cases and the sample lift on this machine; exit code 0 when all agree."""
    from underset import __version__
    from underset.app import selftest as cases
    from underset.app import today

    results = [*cases.run_cases(), cases.run_sample(today())]
    for r in results:
        figures = ", ".join(f"{x:.6g}" for x in r.ours)
        wanted = ", ".join(f"{x:.6g}" for x in r.case.expected)
        word = "agrees" if r.passed else "DIFFERS"
        say_line(f"{word}  {r.case.name}: {figures} (expected {wanted}; {r.case.source})")
    good = sum(r.passed for r in results)
    say_line(f"Underset {__version__}: {good} of {len(results)} reference cases agree.")
    return 0 if good == len(results) else FAILED
