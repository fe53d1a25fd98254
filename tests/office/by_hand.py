"""Run by LibreOffice's own Python: open a workbook, do what a person might do to it by hand, and save it.

by_hand.py PROGRAM PROFILE IN OUT SHEET ACT NUMBER [ACT NUMBER …] with the acts insert-row, delete-row and insert-column,
and rename with a name. Not a test; no part of sheetgen is imported here.
"""

import subprocess
import sys
import time
from pathlib import Path

import uno
from com.sun.star.beans import PropertyValue


def named(**values):
    return tuple(PropertyValue(Name=name, Value=value) for name, value in values.items())


def connected(pipe, process):
    context = uno.getComponentContext()
    resolver = context.ServiceManager.createInstanceWithContext("com.sun.star.bridge.UnoUrlResolver", context)
    for _ in range(240):
        try:
            return resolver.resolve(f"uno:pipe,name={pipe};urp;StarOffice.ComponentContext")
        except Exception:
            if process.poll() is not None:
                raise
            time.sleep(0.25)
    raise TimeoutError(pipe)


def main(program, profile, book, goal, sheet, *acts):
    pipe = f"sheetgen-{Path(profile).name}-{time.time_ns()}"
    command = [
        program, f"-env:UserInstallation={Path(profile).resolve().as_uri()}", "--headless", "--norestore", "--nologo",
        "--nodefault", "--nolockcheck", f"--accept=pipe,name={pipe};urp",
    ]  # fmt: skip
    with subprocess.Popen(command) as process:
        try:
            context = connected(pipe, process)
            desktop = context.ServiceManager.createInstanceWithContext("com.sun.star.frame.Desktop", context)
            document = desktop.loadComponentFromURL(Path(book).resolve().as_uri(), "_blank", 0, named(Hidden=True))
            table = document.Sheets.getByName(sheet)
            table.unprotect("")
            for act, what in zip(acts[::2], acts[1::2], strict=True):
                if act == "rename":
                    table.Name = what
                elif act == "insert-row":
                    table.Rows.insertByIndex(int(what) - 1, 1)
                elif act == "delete-row":
                    table.Rows.removeByIndex(int(what) - 1, 1)
                else:
                    table.Columns.insertByIndex(int(what) - 1, 1)
            document.calculateAll()
            document.storeToURL(Path(goal).resolve().as_uri(), named(FilterName="Calc MS Excel 2007 XML"))
            document.close(True)
            desktop.terminate()
            process.wait(30)
        finally:
            process.kill()


if __name__ == "__main__":
    main(*sys.argv[1:])
