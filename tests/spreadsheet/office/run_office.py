"""Drive a headless Calc: open a document, edit, read every formula cell, export, run macros.

Run by the system's own Python, which has the bridge: ``python3 run_office.py ORDER.json``. The
answer goes to standard output as JSON. The order holds

* ``locale``: the office's locale, such as ``de-DE``;
* ``document``: a spreadsheet, or nothing for an empty one;
* ``update``: whether links may be updated (a user's «Allow updating»);
* ``edits``: ``[[sheet, cell, text or number], …]`` done after loading;
* ``basic``: a file with a Basic module, put into the profile before the start;
* ``vba``: a file with a module of the other family, put into the document, which then runs in the
  mode for such modules;
* ``python``: a file with Python macros, likewise;
* ``calls``: ``[[script address, [arguments]], …]`` run in the office; an argument may be
  ``{"range": [sheet, cells]}``;
* ``read``: ``[[sheet, cell], …]`` to read besides;
* ``new_sheet``: the cells to read of the first sheet, which a macro has added;
* ``only``: sheets whose formulas are read, if not those of all;
* ``formulas``: ``[[cell, formula], …]`` entered into the first sheet after loading;
* ``pdf``: where to print the document;
* ``paper``: width and height of an upright sheet in hundredths of a millimetre, if not the
  document's own;
* ``store``: where to save it.
"""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
import tempfile
import time
import uuid
from pathlib import Path
from typing import Any

import uno
from com.sun.star.beans import PropertyValue

_ITEM = (
    '<item oor:path="/org.openoffice.{}"><prop oor:name="{}" oor:op="fuse">'
    "<value>{}</value></prop></item>"
)


def named(name: str, value: Any) -> Any:
    """A property of a load or store call."""
    each = PropertyValue()
    each.Name, each.Value = name, value
    return each


def write_settings(profile: Path, trusted: Path, locale: str) -> None:
    """Locale, and the folder whose documents may fetch and run macros."""
    (profile / "user").mkdir(parents=True, exist_ok=True)
    (profile / "user" / "registrymodifications.xcu").write_text(
        '<?xml version="1.0" encoding="UTF-8"?><oor:items '
        'xmlns:oor="http://openoffice.org/2001/registry" '
        'xmlns:xs="http://www.w3.org/2001/XMLSchema" '
        'xmlns:xsi="http://www.w3.org/2001/XMLSchema-instance">'
        + _ITEM.format(
            "Office.Common/Security/Scripting", "SecureURL", f"<it>{trusted.as_uri()}</it>"
        )
        + _ITEM.format("Setup/L10N", "ooSetupSystemLocale", locale)
        + "</oor:items>",
        encoding="utf-8",
    )


def add_basic(profile: Path, module: Path) -> None:
    """Put a Basic module into the profile's standard library.

    The first start of a profile overwrites the library with the presets, so it is started once.
    """
    subprocess.run(
        [
            "soffice",
            f"-env:UserInstallation={profile.as_uri()}",
            "--headless",
            "--terminate_after_init",
        ],
        check=True,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )
    library = profile / "user" / "basic" / "Standard"
    code = module.read_text(encoding="utf-8")
    escaped = code.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
    (library / "Threadwright.xba").write_text(
        '<?xml version="1.0" encoding="UTF-8"?>\n<!DOCTYPE script:module PUBLIC '
        '"-//OpenOffice.org//DTD OfficeDocument 1.0//EN" "module.dtd">\n'
        '<script:module xmlns:script="http://openoffice.org/2000/script" '
        f'script:name="Threadwright" script:language="StarBasic">{escaped}</script:module>',
        encoding="utf-8",
    )
    listing = library / "script.xlb"
    text = listing.read_text(encoding="utf-8")
    entry = ' <library:element library:name="Threadwright"/>\n'
    listing.write_text(
        text.replace("</library:library>", entry + "</library:library>"), encoding="utf-8"
    )


def start(profile: Path, home: Path) -> tuple[subprocess.Popen[bytes], Any]:
    """Start the office; the process and its context."""
    pipe = f"threadwright{uuid.uuid4().hex[:10]}"
    process = subprocess.Popen(
        [
            "soffice",
            f"-env:UserInstallation={profile.as_uri()}",
            "--headless",
            "--norestore",
            "--nologo",
            "--nodefault",
            f"--accept=pipe,name={pipe};urp;StarOffice.ComponentContext",
        ],
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
        env={**os.environ, "HOME": str(home)},
    )
    resolver = uno.getComponentContext().ServiceManager.createInstance(
        "com.sun.star.bridge.UnoUrlResolver"
    )
    for _ in range(300):
        try:
            return process, resolver.resolve(
                f"uno:pipe,name={pipe};urp;StarOffice.ComponentContext"
            )
        except Exception:
            time.sleep(0.1)
    process.kill()
    raise SystemExit("the office did not start")


def read_cell(cell: Any) -> dict[str, Any]:
    """What a cell holds and shows."""
    error = cell.getError()
    kind = cell.FormulaResultType2 if cell.Formula.startswith("=") else cell.Type.value
    is_number = kind in (1, "VALUE")
    return {
        "formula": cell.Formula,
        "error": error,
        "value": cell.Value if is_number and not error else None,
        "text": cell.String,
    }


def read_formulas(document: Any, only: list[str] | None) -> dict[str, dict[str, Any]]:
    """Every formula cell of every sheet, or of some; each cell is a call over the bridge."""
    sheets: dict[str, dict[str, Any]] = {}
    for sheet in document.Sheets:
        if only is not None and sheet.Name not in only:
            continue
        cells: dict[str, Any] = {}
        formulas = sheet.queryContentCells(16)  # com.sun.star.sheet.CellFlags.FORMULA
        for area in formulas.RangeAddresses:
            for row in range(area.StartRow, area.EndRow + 1):
                for column in range(area.StartColumn, area.EndColumn + 1):
                    cell = sheet.getCellByPosition(column, row)
                    name = cell.AbsoluteName.split(".")[-1].replace("$", "")
                    cells[name] = read_cell(cell)
        sheets[sheet.Name] = cells
    return sheets


def run_script(context: Any, document: Any, address: str, arguments: list[Any]) -> Any:
    """Run one macro; what it gives back, or its error."""
    if "location=user" in address or "location=application" in address:
        factory = context.ServiceManager.createInstanceWithContext(
            "com.sun.star.script.provider.MasterScriptProviderFactory", context
        )
        provider = factory.createScriptProvider("user" if "Python" in address else "application")
    else:
        provider = document.getScriptProvider()
    try:
        given = tuple(
            document.Sheets.getByName(each["range"][0]).getCellRangeByName(each["range"][1])
            if isinstance(each, dict)
            else each
            for each in arguments
        )
        value, _, _ = provider.getScript(address).invoke(given, (), ())
    except Exception as error:
        return {"failed": str(error)}
    return {"value": value}


def add_vba(document: Any, module: Path) -> None:
    """Put a module into the document, with the objects that such modules know."""
    libraries = document.BasicLibraries
    libraries.VBACompatibilityMode = True
    libraries.getByName("Standard").insertByName("Threadwright", module.read_text(encoding="utf-8"))


def change_paper(document: Any, width: int, height: int) -> None:
    """Give every sheet another paper, lying or upright as it was."""
    styles = document.StyleFamilies.getByName("PageStyles")
    for sheet in document.Sheets:
        style = styles.getByName(sheet.PageStyle)
        style.Width, style.Height = (height, width) if style.IsLandscape else (width, height)


def carry_out(order: dict[str, Any], folder: Path) -> dict[str, Any]:
    """Do what an order says."""
    profile, trusted = folder / "profile", folder / "documents"
    trusted.mkdir()
    write_settings(profile, trusted, order["locale"])
    if order.get("basic"):
        add_basic(profile, Path(order["basic"]))
    if order.get("python"):
        scripts = profile / "user" / "Scripts" / "python"
        scripts.mkdir(parents=True)
        shutil.copy(order["python"], scripts)
    address = "private:factory/scalc"
    if order.get("document"):
        address = Path(shutil.copy(order["document"], trusted)).as_uri()
    process, context = start(profile, folder)
    answer: dict[str, Any] = {}
    try:
        desktop = context.ServiceManager.createInstanceWithContext(
            "com.sun.star.frame.Desktop", context
        )
        began = time.perf_counter()
        # Hidden: a visible document ends the build without windows. 3 is FULL_UPDATE.
        how = [named("Hidden", True)]
        if order.get("update"):
            how.append(named("UpdateDocMode", 3))
        if order.get("vba"):
            how.append(named("MacroExecutionMode", 4))  # ALWAYS_EXECUTE_NO_WARN
        document = desktop.loadComponentFromURL(address, "_blank", 0, tuple(how))
        if order.get("vba"):
            add_vba(document, Path(order["vba"]))
        answer["load_s"] = time.perf_counter() - began
        began = time.perf_counter()
        for sheet, cell, value in order.get("edits", ()):
            target = document.Sheets.getByName(sheet).getCellRangeByName(cell)
            if isinstance(value, str):
                target.String = value
            else:
                target.Value = value
        for cell, formula in order.get("formulas", ()):
            document.Sheets.getByIndex(0).getCellRangeByName(cell).Formula = formula
        answer["edit_s"] = time.perf_counter() - began
        answer["calls"] = [
            run_script(context, document, script, arguments)
            for script, arguments in order.get("calls", ())
        ]
        answer["read"] = [
            read_cell(document.Sheets.getByName(sheet).getCellRangeByName(cell))
            for sheet, cell in order.get("read", ())
        ]
        if order.get("new_sheet"):
            area = document.Sheets.getByIndex(0).getCellRangeByName(order["new_sheet"])
            answer["new_sheet"] = [
                [
                    read_cell(area.getCellByPosition(column, row))
                    for column in range(area.Columns.Count)
                ]
                for row in range(area.Rows.Count)
            ]
        began = time.perf_counter()
        answer["sheets"] = read_formulas(document, order.get("only"))
        answer["read_s"] = time.perf_counter() - began
        if order.get("paper"):
            change_paper(document, *order["paper"])
        if order.get("pdf"):
            document.storeToURL(
                Path(order["pdf"]).as_uri(), (named("FilterName", "calc_pdf_Export"),)
            )
        if order.get("store"):
            document.storeToURL(
                Path(order["store"]).as_uri(), (named("FilterName", "Calc MS Excel 2007 XML"),)
            )
        document.close(True)
        try:
            desktop.terminate()
        except Exception:
            answer["ended"] = "by itself"
    finally:
        try:
            process.wait(20)
        except subprocess.TimeoutExpired:
            process.kill()
    return answer


def main() -> None:
    """Read the order, carry it out, print the answer."""
    order = json.loads(Path(sys.argv[1]).read_text(encoding="utf-8"))
    with tempfile.TemporaryDirectory(prefix="threadwright-office-") as folder:
        json.dump(carry_out(order, Path(folder)), sys.stdout)


if __name__ == "__main__":
    main()
