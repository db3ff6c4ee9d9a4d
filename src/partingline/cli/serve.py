"""`partingline serve`: the workbench in the browser."""

from pathlib import Path

from partingline.cli.screen import console


def run(bench: Path, host: str, port: int) -> int:
    """Serve until Ctrl-C; 2 where there is no bench or the address is taken."""
    from partingline.workbench.server import is_loopback, serve

    out, wrong = console(), console(error=True)

    def say(address: str) -> None:
        out.print(f"The workbench of {bench}: {address}", soft_wrap=True)
        if not is_loopback(host):
            out.print("Whoever has this address with its token can read and change the bench.", style="yellow")
        out.print("Ctrl-C ends it.", style="bright_black")

    try:
        serve(bench, host, port, say)
    except (NotADirectoryError, ValueError) as error:
        wrong.print(str(error))
        return 2
    except OSError as error:
        wrong.print(f"{host}:{port}: {error.strerror}; expected an address of this machine that is free. Try --port 0.")
        return 2
    return 0
