"""LibreOffice as a second witness: many workbooks recalculated in one run, in a profile of their own."""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import sys
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING, Final

from sheetgen.check.place import place
from sheetgen.findings import Finding, Refused, Severity
from sheetgen.reader.limits import HOST
from sheetgen.reader.raw import RawBook, read_raw

if TYPE_CHECKING:
    from collections.abc import Sequence

PROGRAMS: Final = ("soffice", "libreoffice")
TIMEOUT_S: Final = 180.0

# LibreOffice trusts the stored values of a file that says Excel made it, unless told to recalculate always (0).
# Whatever a file brings along, no macro runs and nothing is fetched.
_SETTINGS: Final = """<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry">
<item oor:path="/org.openoffice.Office.Calc/Formula/Load"><prop oor:name="OOXMLRecalcMode" oor:op="fuse"><value>0</value></prop></item>
<item oor:path="/org.openoffice.Office.Calc/Formula/Load"><prop oor:name="ODFRecalcMode" oor:op="fuse"><value>0</value></prop></item>
<item oor:path="/org.openoffice.Office.Common/Security/Scripting"><prop oor:name="MacroSecurityLevel" oor:op="fuse"><value>3</value></prop></item>
<item oor:path="/org.openoffice.Office.Common/Security/Scripting"><prop oor:name="DisableMacrosExecution" oor:op="fuse"><value>true</value></prop></item>
<item oor:path="/org.openoffice.Office.Common/Security/Scripting"><prop oor:name="BlockUntrustedRefererLinks" oor:op="fuse"><value>true</value></prop></item>
</oor:items>
"""  # noqa: E501 - one setting a line, as LibreOffice writes them
_FILTER: Final = "xlsx:Calc MS Excel 2007 XML"
_PDF: Final = "pdf:calc_pdf_Export"


def resave(
    paths: Sequence[Path], folder: Path, *, program: str | None = None, timeout_s: float = TIMEOUT_S
) -> list[Path]:
    """Let LibreOffice recalculate workbooks and save them anew; the files themselves are not touched.

    Parameters
    ----------
    paths : sequence of Path
        The workbooks; the gate must have let them through.
    folder : Path
        Empty folder that takes the new files.
    program : str, optional
        LibreOffice's program; looked for where programs are by default.
    timeout_s : float
        How long all files together may take [s].

    Returns
    -------
    list of Path
        The new file of each workbook, in the same order.

    Raises
    ------
    Refused
        LibreOffice is not installed, takes too long, or cannot convert a file.
    """
    soffice = _program(program, "install LibreOffice Calc, or recalculate with IronCalc (--recalculate ironcalc)")
    if not paths:
        return []
    with tempfile.TemporaryDirectory(prefix="sheetgen-office-") as work:
        # Numbered copies: two workbooks may have the same name, and a name may read as an option.
        copies = [Path(work, f"{number:04d}.xlsx") for number in range(len(paths))]
        for path, copy in zip(paths, copies, strict=True):
            shutil.copyfile(path, copy)
        log = _run(soffice, Path(work, "profile"), copies, folder, timeout_s, _FILTER)
    made = [folder / copy.name for copy in copies]
    missing = [path for path, new in zip(paths, made, strict=True) if not new.exists()]
    if missing:
        raise _refused(
            "office-refused", place(missing[0]), f"LibreOffice did not save it ({log[-200:].strip() or 'no reason given'})",
            "open it in LibreOffice to see what is wrong",
        )  # fmt: skip
    return made


def pdf_of(path: Path, *, program: str | None = None, timeout_s: float = TIMEOUT_S) -> bytes:
    """Let LibreOffice print a workbook of ours as PDF.

    Parameters
    ----------
    path : Path
        The workbook.
    program : str, optional
        LibreOffice's program; looked for where programs are by default.
    timeout_s : float
        How long it may take [s].

    Returns
    -------
    bytes
        The PDF.

    Raises
    ------
    Refused
        LibreOffice is not installed, takes too long, or makes no PDF.
    """
    soffice = _program(program, "install LibreOffice Calc, or leave --pdf out and print the page from your spreadsheet program")
    with tempfile.TemporaryDirectory(prefix="sheetgen-office-") as work:
        copy = Path(work, "page.xlsx")
        shutil.copyfile(path, copy)
        log = _run(soffice, Path(work, "profile"), [copy], Path(work), timeout_s, _PDF)
        made = copy.with_suffix(".pdf")
        if not made.exists():
            raise _refused(
                "office-refused", place(path), f"LibreOffice made no PDF ({log[-200:].strip() or 'no reason given'})",
                "print the page from your spreadsheet program",
            )  # fmt: skip
        return made.read_bytes()


def _program(program: str | None, mend: str) -> str:
    soffice = program or next(filter(None, map(shutil.which, PROGRAMS)), None)
    if soffice is None or shutil.which(soffice) is None:
        raise _refused("office-missing", "LibreOffice", "the program soffice is not installed", mend)
    return soffice


def recalculated_books(
    paths: Sequence[Path], *, program: str | None = None, timeout_s: float = TIMEOUT_S
) -> list[RawBook]:
    """Return workbooks as LibreOffice recalculates and saves them.

    Parameters
    ----------
    paths : sequence of Path
        The workbooks.
    program : str, optional
        LibreOffice's program; looked for where programs are by default.
    timeout_s : float
        How long all files together may take [s].

    Returns
    -------
    list of RawBook
        One for each, in the same order.

    Raises
    ------
    Refused
        LibreOffice is not installed, takes too long, or cannot convert a file.
    """
    with tempfile.TemporaryDirectory(prefix="sheetgen-office-") as folder:
        # The limits of a host: what comes back may be a person's own workbook, which passed the gate before.
        return [read_raw(path, HOST) for path in resave(paths, Path(folder), program=program, timeout_s=timeout_s)]


def _run(soffice: str, profile: Path, files: Sequence[Path], folder: Path, timeout_s: float, form: str) -> str:
    (profile / "user").mkdir(parents=True)
    (profile / "user" / "registrymodifications.xcu").write_text(_SETTINGS, encoding="utf-8")
    command = [
        soffice, f"-env:UserInstallation={profile.resolve().as_uri()}", "--headless", "--norestore", "--nologo",
        "--nodefault", "--nolockcheck", "--convert-to", form, "--outdir", str(folder), *map(str, files),
    ]  # fmt: skip
    environment = {**os.environ, "SAL_USE_VCLPLUGIN": "svp", "LC_ALL": "C.UTF-8"}
    # A session of its own: soffice starts further processes, and all of them must go when the time is up.
    with subprocess.Popen(  # noqa: S603 - the program found on the path, files named by us
        command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, env=environment, start_new_session=True
    ) as process:
        try:
            return process.communicate(timeout=timeout_s)[0].decode("utf-8", "replace")
        except subprocess.TimeoutExpired as error:
            raise _refused(
                "office-slow", "LibreOffice", f"took longer than {timeout_s:g} s for {len(files)} workbooks",
                "try fewer workbooks at a time",
            ) from error  # fmt: skip
        finally:
            if process.poll() is None:
                _end(process)


def _end(process: subprocess.Popen[bytes]) -> None:
    if sys.platform == "win32":
        process.kill()
    else:
        os.killpg(process.pid, signal.SIGKILL)


def _refused(code: str, where: str, what: str, mend: str) -> Refused:
    return Refused([Finding(code, Severity.ERROR, where, what, mend)])
