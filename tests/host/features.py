"""What workbooks that have been used for years hold besides cells: pivot tables, slicers, threads, custom XML, settings of printers.

No library here writes these, so that they are written by hand, as ECMA-376 and, for slicers and threads, [MS-XLSX] describe them.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path
from typing import Final

import xlsxwriter
from dots import dot

Parts = dict[str, bytes]
_MAIN: Final = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
_OFFICE: Final = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
_LINES: Final = "http://schemas.openxmlformats.org/package/2006/relationships"
_MS: Final = "http://schemas.microsoft.com/office"
_X14: Final = f"{_MS}/spreadsheetml/2009/9/main"
_MC: Final = "http://schemas.openxmlformats.org/markup-compatibility/2006"
_XR: Final = f"{_MS}/spreadsheetml/2014/revision"
_TYPE: Final = "application/vnd.openxmlformats-officedocument"
_HEAD: Final = '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\r\n'
_UID: Final = "{{00000000-0001-0000-0000-0000000000{:02d}}}"
SALES: Final = (("North", "May", 10), ("North", "June", 20), ("North", "July", 30), ("South", "May", 40), ("South", "June", 50))
# What the workbook calls the price of the bid that it waits for.
RESULT: Final = "Job_7_price_total"
_SALES, _OVERVIEW = "xl/worksheets/sheet3.xml", "xl/worksheets/sheet4.xml"
_CACHE_ID: Final = 7


def by_years_of_use(path: Path) -> Path:
    """A workbook that waits for a bid: a summary with its price, and customers; sales, and what a pivot table shows of them.

    With a table that has a calculated column, a hidden and a very hidden sheet, a chart sheet and names on single sheets.
    """
    book = xlsxwriter.Workbook(path)
    book.set_custom_property("Department", "Yard")
    summary, customers = book.add_worksheet("Summary"), book.add_worksheet("Customers")
    summary.write_string("A1", "price")
    for cell, formula, value in (
        ("B1", f"={RESULT}", "#NAME?"), ("B2", "=IF(ISNUMBER(B1),ROUND(B1/2,2),0)", 0), ("B3", "='Job 7 Price'!A1", "#REF!"),
        ("B4", "=SUM(D1:D3)", 9),
    ):  # fmt: skip
        summary.write_formula(cell, formula, None, value)
    summary.write_column("D1", [1.5, 3, 4.5])
    customers.write_column("B4", ["Ann Example", 0.125, 5.5, "12 ft"])
    bold = book.add_format({"bold": True, "num_format": "#,##0.0"})
    red = book.add_format({"font_color": "#9C0006"})
    sales = book.add_worksheet("Sales")
    columns = [{"header": "region"}, {"header": "month"}, {"header": "amount"}, {"header": "with tax", "formula": "=[@amount]*1.1"}]
    sales.add_table(0, 0, len(SALES), 3, {"name": "Sales_table", "columns": columns, "data": [list(row) for row in SALES]})
    sales.conditional_format("C2:C6", {"type": "data_bar", "data_bar_2010": True})
    sales.conditional_format("C2:C6", {"type": "cell", "criteria": ">", "value": 20, "format": red})
    sales.write_comment("A1", "where they live", {"author": "A. Person"})
    sales.set_landscape()
    sales.insert_image("J2", "dot.png", {"image_data": dot()})
    overview = book.add_worksheet("Overview")
    for row, (name, amount) in enumerate((("Row Labels", "Sum of amount"), ("North", 60), ("South", 90), ("Grand Total", 150)), 2):
        overview.write(row, 0, name)
        overview.write(row, 1, amount)
    overview.write_formula("D4", "=SUM(Sales!C2:C6)", bold, 150)
    overview.write_formula("D5", "=D4/B6", None, 1)
    overview.write_formula("D6", '=GETPIVOTDATA("amount",$A$3)', None, 150)
    overview.write_dynamic_array_formula("F3:F4", "=_xlfn.SEQUENCE(2)", None, 1)
    chart = book.add_chart({"type": "column"})
    chart.add_series({"values": "=Sales!$C$2:$C$6"})
    overview.insert_chart("H2", chart)
    overview.activate()
    quiet, secret = book.add_worksheet("It's quiet"), book.add_worksheet("Secret")
    quiet.write_formula("A1", "=Overview!D4*2", None, 300)
    quiet.hide()
    secret.write_formula("A1", "='It''s quiet'!A1+1", None, 301)
    secret.very_hidden()
    shown = book.add_chartsheet("Chart")
    line = book.add_chart({"type": "line"})
    line.add_series({"values": "=Sales!$C$2:$C$6"})
    shown.set_chart(line)
    sales.print_area("A1:D6")
    book.define_name("Overview!total", "=Overview!$D$4")
    book.define_name("Sales!total", "=Sales!$C$6")
    book.close()
    return path


def _put_in(parts: Parts, name: str, before: str, text: str) -> None:
    """Put something before a piece of a part, which it must have."""
    assert before.encode() in parts[name], (name, before)
    parts[name] = parts[name].replace(before.encode(), text.encode() + before.encode(), 1)


def _declare(parts: Parts, name: str, kind: str) -> None:
    _put_in(parts, "[Content_Types].xml", "</Types>", f'<Override PartName="/{name}" ContentType="{kind}"/>')


def _relate(parts: Parts, owner: str, id_: str, kind: str, target: str) -> None:
    folder, _, base = owner.rpartition("/")
    name = f"{folder}/_rels/{base}.rels".lstrip("/")
    parts.setdefault(name, f'{_HEAD}<Relationships xmlns="{_LINES}"></Relationships>'.encode())
    _put_in(parts, name, "</Relationships>", f'<Relationship Id="{id_}" Type="{kind}" Target="{target}"/>')


def _extend(parts: Parts, name: str, end: str, uri: str, inside: str) -> None:
    """Put an extension into the list of a part, which is made where there is none."""
    line = f'<ext uri="{{{uri}}}" xmlns:x14="{_X14}">{inside}</ext>'
    if b"</extLst>" + end.encode() in parts[name]:
        _put_in(parts, name, "</extLst>" + end, line)
    else:
        _put_in(parts, name, end, f"<extLst>{line}</extLst>")


def pivot(parts: Parts) -> None:
    """A pivot table over a range of another sheet, with a format of its own, and its cache."""
    regions, months = (list(dict.fromkeys(row[place] for row in SALES)) for place in (0, 1))
    words = "".join(
        f'<cacheField name="{name}" numFmtId="0"><sharedItems count="{len(held)}">{"".join(f"<s v={one!r}/>" for one in held)}</sharedItems>'
        "</cacheField>"
        for name, held in (("region", regions), ("month", months))
    )  # fmt: skip
    parts["xl/pivotCache/pivotCacheDefinition1.xml"] = (
        f'{_HEAD}<pivotCacheDefinition xmlns="{_MAIN}" xmlns:r="{_OFFICE}" xmlns:mc="{_MC}" xmlns:xr="{_XR}" mc:Ignorable="xr" r:id="rId1" '
        f'refreshedBy="A. Person" refreshedDate="45000" createdVersion="6" refreshedVersion="6" minRefreshableVersion="3" '
        f'recordCount="{len(SALES)}" xr:uid="{_UID.format(1)}"><cacheSource type="worksheet"><worksheetSource ref="A1:C6" sheet="Sales"/>'
        f'</cacheSource><cacheFields count="3">{words}<cacheField name="amount" numFmtId="0"><sharedItems containsSemiMixedTypes="0" '
        'containsString="0" containsNumber="1" containsInteger="1" minValue="10" maxValue="50"/></cacheField></cacheFields><extLst><ext '
        f'uri="{{725AE2AE-9491-48be-B2B4-4EB974FC3084}}" xmlns:x14="{_X14}"><x14:pivotCacheDefinition pivotCacheId="{_CACHE_ID}"/></ext>'
        "</extLst></pivotCacheDefinition>"
    ).encode()
    records = "".join(f'<r><x v="{regions.index(one)}"/><x v="{months.index(two)}"/><n v="{three}"/></r>' for one, two, three in SALES)
    parts["xl/pivotCache/pivotCacheRecords1.xml"] = (
        f'{_HEAD}<pivotCacheRecords xmlns="{_MAIN}" xmlns:r="{_OFFICE}" count="{len(SALES)}">{records}</pivotCacheRecords>'
    ).encode()
    items = "".join(f'<item x="{number}"/>' for number in range(3)) + '<item t="default"/>'
    parts["xl/pivotTables/pivotTable1.xml"] = (
        f'{_HEAD}<pivotTableDefinition xmlns="{_MAIN}" xmlns:mc="{_MC}" xmlns:xr="{_XR}" mc:Ignorable="xr" xr:uid="{_UID.format(2)}" '
        f'name="PivotTable1" cacheId="{_CACHE_ID}" applyNumberFormats="0" applyBorderFormats="0" applyFontFormats="0" '
        'applyPatternFormats="0" applyAlignmentFormats="0" applyWidthHeightFormats="1" dataCaption="Values" updatedVersion="6" '
        'minRefreshableVersion="3" useAutoFormatting="1" itemPrintTitles="1" createdVersion="6" indent="0" outline="1" outlineData="1" '
        'multipleFieldFilters="0"><location ref="A3:B6" firstHeaderRow="1" firstDataRow="1" firstDataCol="1"/><pivotFields count="3">'
        '<pivotField axis="axisRow" showAll="0"><items count="3"><item x="0"/><item x="1"/><item t="default"/></items></pivotField>'
        f'<pivotField showAll="0"><items count="4">{items}</items></pivotField><pivotField dataField="1" showAll="0"/></pivotFields>'
        '<rowFields count="1"><field x="0"/></rowFields><rowItems count="3"><i><x/></i><i><x v="1"/></i><i t="grand"><x/></i></rowItems>'
        '<colItems count="1"><i/></colItems><dataFields count="1"><dataField name="Sum of amount" fld="2" baseField="0" baseItem="0"/>'
        '</dataFields><formats count="1"><format dxfId="0"><pivotArea outline="0" collapsedLevelsAreSubtotals="1" fieldPosition="0"/>'
        '</format></formats><pivotTableStyleInfo name="PivotStyleLight16" showRowHeaders="1" showColHeaders="1" showRowStripes="0" '
        'showColStripes="0" showLastColumn="1"/></pivotTableDefinition>'
    ).encode()
    for name, kind in (
        ("pivotCache/pivotCacheDefinition1", "pivotCacheDefinition"), ("pivotCache/pivotCacheRecords1", "pivotCacheRecords"),
        ("pivotTables/pivotTable1", "pivotTable"),
    ):  # fmt: skip
        _declare(parts, f"xl/{name}.xml", f"{_TYPE}.spreadsheetml.{kind}+xml")
    _relate(parts, "xl/pivotCache/pivotCacheDefinition1.xml", "rId1", f"{_OFFICE}/pivotCacheRecords", "pivotCacheRecords1.xml")
    _relate(parts, "xl/pivotTables/pivotTable1.xml", "rId1", f"{_OFFICE}/pivotCacheDefinition", "../pivotCache/pivotCacheDefinition1.xml")
    _relate(parts, _OVERVIEW, "rIdPivot", f"{_OFFICE}/pivotTable", "../pivotTables/pivotTable1.xml")
    _relate(parts, "xl/workbook.xml", "rIdPivot", f"{_OFFICE}/pivotCacheDefinition", "pivotCache/pivotCacheDefinition1.xml")
    behind = "<extLst>" if b"<extLst>" in parts["xl/workbook.xml"] else "</workbook>"
    _put_in(parts, "xl/workbook.xml", behind, f'<pivotCaches><pivotCache cacheId="{_CACHE_ID}" r:id="rIdPivot"/></pivotCaches>')


def slicer(parts: Parts) -> None:
    """A slicer of the pivot table: it finds the sheet by its id, and stands in the drawing where programs that know it look."""
    pivot(parts)
    more = f'xmlns="{_X14}" xmlns:mc="{_MC}" xmlns:x="{_MAIN}" mc:Ignorable="x"'
    items = "".join(f'<i x="{number}" s="1"/>' for number in range(3))
    parts["xl/slicerCaches/slicerCache1.xml"] = (
        f'{_HEAD}<slicerCacheDefinition {more} name="Slicer_month" sourceName="month"><pivotTables><pivotTable tabId="4" name="PivotTable1"/>'
        f'</pivotTables><data><tabular pivotCacheId="{_CACHE_ID}"><items count="3">{items}</items></tabular></data></slicerCacheDefinition>'
    ).encode()
    parts["xl/slicers/slicer1.xml"] = (
        f'{_HEAD}<slicers {more}><slicer name="month" cache="Slicer_month" caption="month" rowHeight="241300"/></slicers>'
    ).encode()
    _declare(parts, "xl/slicerCaches/slicerCache1.xml", "application/vnd.ms-excel.slicerCache+xml")
    _declare(parts, "xl/slicers/slicer1.xml", "application/vnd.ms-excel.slicer+xml")
    _relate(parts, "xl/workbook.xml", "rIdSlicer", f"{_MS}/2007/relationships/slicerCache", "slicerCaches/slicerCache1.xml")
    _relate(parts, _OVERVIEW, "rIdSlicer", f"{_MS}/2007/relationships/slicer", "../slicers/slicer1.xml")
    _extend(parts, "xl/workbook.xml", "</workbook>", "BBE1A952-AA13-448e-AADC-164F8A28A991",
            '<x14:slicerCaches><x14:slicerCache r:id="rIdSlicer"/></x14:slicerCaches>')  # fmt: skip
    _extend(parts, _OVERVIEW, "</worksheet>", "A8765BA9-456A-4dab-B4F3-ACF838C121DE",
            '<x14:slicerList><x14:slicer r:id="rIdSlicer"/></x14:slicerList>')  # fmt: skip
    # A program that makes a slicer takes its name away from other uses.
    _put_in(parts, "xl/workbook.xml", "</definedNames>", '<definedName name="Slicer_month">#N/A</definedName>')
    picture = f"{_MS}/drawing/2010/slicer"
    corner = "<xdr:col>{}</xdr:col><xdr:colOff>0</xdr:colOff><xdr:row>{}</xdr:row><xdr:rowOff>0</xdr:rowOff>"
    drawing = re.search(rb'Target="\.\./(drawings/drawing\d+\.xml)"', parts["xl/worksheets/_rels/sheet4.xml.rels"])
    assert drawing is not None
    _put_in(
        parts, f"xl/{drawing[1].decode()}", "</xdr:wsDr>",
        f'<xdr:twoCellAnchor editAs="oneCell"><xdr:from>{corner.format(1, 9)}</xdr:from><xdr:to>{corner.format(3, 20)}</xdr:to>'
        f'<mc:AlternateContent xmlns:mc="{_MC}" xmlns:a14="{_MS}/drawing/2010/main"><mc:Choice Requires="a14"><xdr:graphicFrame macro="">'
        '<xdr:nvGraphicFramePr><xdr:cNvPr id="20" name="month"/><xdr:cNvGraphicFramePr/></xdr:nvGraphicFramePr><xdr:xfrm><a:off x="0" y="0"/>'
        f'<a:ext cx="0" cy="0"/></xdr:xfrm><a:graphic><a:graphicData uri="{picture}"><sle:slicer xmlns:sle="{picture}" name="month"/>'
        '</a:graphicData></a:graphic></xdr:graphicFrame></mc:Choice><mc:Fallback><xdr:sp macro="" textlink=""><xdr:nvSpPr><xdr:cNvPr id="0" '
        'name=""/><xdr:cNvSpPr/></xdr:nvSpPr><xdr:spPr><a:prstGeom prst="rect"><a:avLst/></a:prstGeom></xdr:spPr></xdr:sp></mc:Fallback>'
        "</mc:AlternateContent><xdr:clientData/></xdr:twoCellAnchor>",
    )  # fmt: skip


def custom_xml(parts: Parts) -> None:
    """Facts that an office system keeps with a document."""
    parts["customXml/item1.xml"] = b'<facts xmlns="urn:example:facts"><matter>2026/17</matter></facts>'
    parts["customXml/itemProps1.xml"] = (
        f'{_HEAD}<ds:datastoreItem ds:itemID="{_UID.format(3)}" xmlns:ds="http://schemas.openxmlformats.org/officeDocument/2006/customXml">'
        '<ds:schemaRefs><ds:schemaRef ds:uri="urn:example:facts"/></ds:schemaRefs></ds:datastoreItem>'
    ).encode()
    _declare(parts, "customXml/itemProps1.xml", f"{_TYPE}.customXmlProperties+xml")
    _relate(parts, "customXml/item1.xml", "rId1", f"{_OFFICE}/customXmlProps", "itemProps1.xml")
    _relate(parts, "xl/workbook.xml", "rIdFacts", f"{_OFFICE}/customXml", "../customXml/item1.xml")


def printer_settings(parts: Parts) -> None:
    """What a printer wants to remember of a page."""
    parts["xl/printerSettings/printerSettings1.bin"] = bytes(range(256)) * 4
    _put_in(parts, "[Content_Types].xml", "<Override", f'<Default Extension="bin" ContentType="{_TYPE}.spreadsheetml.printerSettings"/>')
    _relate(parts, _SALES, "rIdPrinter", f"{_OFFICE}/printerSettings", "../printerSettings/printerSettings1.bin")
    made = re.sub(rb"(<pageSetup [^>]*?)/>", rb'\1 r:id="rIdPrinter"/>', parts[_SALES])
    assert made != parts[_SALES]
    parts[_SALES] = made


def threads(parts: Parts) -> None:
    """A comment that was answered: the thread, who wrote it, and the old kind of comment that stands in for it."""
    first, second, person = (_UID.format(number) for number in (4, 5, 6))
    space = f'xmlns="{_MS}/spreadsheetml/2018/threadedcomments"'
    parts["xl/threadedComments/threadedComment1.xml"] = (
        f'{_HEAD}<ThreadedComments {space}><threadedComment ref="A1" dT="2026-03-02T08:00:00.00" personId="{person}" id="{first}"><text>Where?'
        f'</text></threadedComment><threadedComment ref="A1" dT="2026-03-02T09:00:00.00" personId="{person}" id="{second}" parentId="{first}">'
        "<text>There.</text></threadedComment></ThreadedComments>"
    ).encode()
    parts["xl/persons/person.xml"] = (
        f'{_HEAD}<personList {space}><person displayName="A. Person" id="{person}" userId="A. Person" providerId="None"/></personList>'
    ).encode()
    _declare(parts, "xl/threadedComments/threadedComment1.xml", "application/vnd.ms-excel.threadedcomments+xml")
    _declare(parts, "xl/persons/person.xml", "application/vnd.ms-excel.person+xml")
    _relate(parts, _SALES, "rIdThread", f"{_MS}/2017/10/relationships/threadedComment", "../threadedComments/threadedComment1.xml")
    _relate(parts, "xl/workbook.xml", "rIdPerson", f"{_MS}/2017/10/relationships/person", "persons/person.xml")
    comments = parts["xl/comments1.xml"].replace(b"<author>A. Person</author>", f"<author>tc={first}</author>".encode())
    assert comments != parts["xl/comments1.xml"]
    parts["xl/comments1.xml"] = comments


def of_the_usual_program(parts: Parts) -> None:
    """Workbook, sheets and styles as the program that most people have writes them.

    With marked namespaces, where the file lay, who saved it, a view of one's own, a style for tables, and lists of extensions.
    """
    x15, x15ac = f"{_MS}/spreadsheetml/2010/11/main", f"{_MS}/spreadsheetml/2010/11/ac"
    xr6, xr2 = f"{_MS}/spreadsheetml/2016/revision6", f"{_MS}/spreadsheetml/2015/revision2"
    text = parts["xl/workbook.xml"].decode()
    text = text.replace(
        "<workbook ", f'<workbook xmlns:mc="{_MC}" mc:Ignorable="x15 xr xr6 xr2" xmlns:x15="{x15}" xmlns:xr="{_XR}" xmlns:xr6="{xr6}" '
        f'xmlns:xr2="{xr2}" ', 1,
    )  # fmt: skip
    text = text.replace(
        "<bookViews>", f'<mc:AlternateContent xmlns:mc="{_MC}"><mc:Choice Requires="x15"><x15ac:absPath url="C:\\office\\" xmlns:x15ac="{x15ac}"/>'
        f'</mc:Choice></mc:AlternateContent><xr:revisionPtr revIDLastSave="0" documentId="13_ncr:1_{_UID.format(7)}" '
        f'xr6:coauthVersionLast="47" xr6:coauthVersionMax="47" xr10:uidLastSave="{_UID.format(8)}" '
        f'xmlns:xr10="{_MS}/spreadsheetml/2016/revision10"/><bookViews>', 1,
    )  # fmt: skip
    text = re.sub(r"(<workbookView [^>]*)/>", rf'\1 xr2:uid="{_UID.format(9)}"/>', text)
    view = f'<customWorkbookViews><customWorkbookView name="mine" guid="{_UID.format(10)}" windowWidth="9" windowHeight="9" activeSheetId="4"/>'
    text = re.sub("<calcPr [^>]*/>", f'<calcPr calcId="191029"/>{view}</customWorkbookViews>', text)
    parts["xl/workbook.xml"] = text.encode()
    ac = f"{_MS}/spreadsheetml/2009/9/ac"
    for number, name in enumerate((name for name in parts if name.startswith("xl/worksheets/sheet")), 20):
        text = re.sub(' (xmlns:mc|xmlns:x14ac|mc:Ignorable|x14ac:dyDescent)="[^"]*"', "", parts[name].decode())
        marks = f'xmlns:mc="{_MC}" mc:Ignorable="x14ac xr" xmlns:x14ac="{ac}" xmlns:xr="{_XR}" xr:uid="{_UID.format(number)}"'
        text = text.replace("<worksheet ", f"<worksheet {marks} ", 1)
        parts[name] = re.sub(r"<(row|sheetFormatPr) ([^>]*?)(/?)>", r'<\1 \2 x14ac:dyDescent="0.25"\3>', text).encode()
    text = parts["xl/styles.xml"].decode()
    text = text.replace("<styleSheet ", f'<styleSheet xmlns:mc="{_MC}" mc:Ignorable="x14ac" xmlns:x14ac="{ac}" ', 1)
    text = re.sub(r"<fonts ([^>]*)>", r'<fonts \1 x14ac:knownFonts="1">', text)
    style = '<tableStyle name="Yard" pivot="0" count="1"><tableStyleElement type="headerRow" dxfId="0"/></tableStyle>'
    text = re.sub('<tableStyles count="0"([^>]*)/>', rf'<tableStyles count="1"\1>{style}</tableStyles>', text)
    text = text.replace("</styleSheet>", '<colors><mruColors><color rgb="FF112233"/></mruColors></colors></styleSheet>')
    assert style in text
    parts["xl/styles.xml"] = text.encode()
    _extend(parts, "xl/styles.xml", "</styleSheet>", "EB79DEF2-80B8-43e5-95BD-54CBDDF9020C",
            '<x14:slicerStyles defaultSlicerStyle="SlicerStyleLight1"/>')  # fmt: skip
    _extend(parts, "xl/workbook.xml", "</workbook>", "B58B0392-4F1F-4190-BB64-5DF3571DCE5F",
            f'<f:calcFeatures xmlns:f="{_MS}/spreadsheetml/2018/calcfeatures"><f:feature name="microsoft.com:RD"/></f:calcFeatures>')  # fmt: skip


def neither_names_nor_sums(parts: Parts) -> None:
    """A pivot table and extensions behind the sheets, and between them neither names nor how it is reckoned."""
    of_the_usual_program(parts)
    slicer(parts)
    parts["xl/workbook.xml"] = re.sub(rb"<definedNames>.*?</definedNames>|<calcPr [^>]*/>", b"", parts["xl/workbook.xml"])
    assert b"definedName" not in parts["xl/workbook.xml"]


def chain(parts: Parts) -> None:
    """A calculation chain: the cells with a formula in the order in which they are reckoned."""
    cells = [("B1", ' i="1"'), ("B2", ""), ("B3", ""), ("B4", ""), ("D4", ' i="4"'), ("D5", ""), ("D6", ""), ("A1", ' i="5"'), ("A1", ' i="6"')]
    cells += [(f"D{row}", ' i="3"') for row in range(2, 7)]
    inside = "".join(f'<c r="{cell}"{sheet}/>' for cell, sheet in cells)
    parts["xl/calcChain.xml"] = f'{_HEAD}<calcChain xmlns="{_MAIN}">{inside}</calcChain>'.encode()
    _declare(parts, "xl/calcChain.xml", f"{_TYPE}.spreadsheetml.calcChain+xml")
    _relate(parts, "xl/workbook.xml", "rIdChain", f"{_OFFICE}/calcChain", "calcChain.xml")


def everything(parts: Parts) -> None:
    """All of it at once."""
    for one in (of_the_usual_program, custom_xml, printer_settings, threads, chain):
        one(parts)
    slicer(parts)


FEATURES: dict[str, Callable[[Parts], None]] = {one.__name__: one for one in (neither_names_nor_sums, everything)}
