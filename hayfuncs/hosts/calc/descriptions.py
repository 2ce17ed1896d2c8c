"""The texts of the extension: wizard help for every function and argument, and the manifest."""

from __future__ import annotations

from xml.sax.saxutils import escape, quoteattr

from hayfuncs import __version__
from hayfuncs.contract.catalogue import CATALOGUE, Record
from hayfuncs.hosts import wizard
from hayfuncs.hosts.calc import opening
from hayfuncs.hosts.calc.typelib import SERVICE, parameter_name

XML = '<?xml version="1.0" encoding="UTF-8"?>\n'
IDENTIFIER = "org.hayfuncs.calc"
OLDEST_OFFICE = "7.0"
TYPES, TEXTS, JOBS, COMPONENT = "hayfuncs.rdb", "CalcAddIns.xcu", "Jobs.xcu", "hayfuncs_calc.py"
REGISTRY = 'xmlns:oor="http://openoffice.org/2001/registry" xmlns:xs="http://www.w3.org/2001/XMLSchema"'


def value(name: str, text: str) -> str:
    return f'<prop oor:name="{name}"><value xml:lang="en">{escape(text)}</value></prop>'


def function_node(record: Record) -> list[str]:
    lines = [
        f'<node oor:name="{record.name}" oor:op="replace">',
        value("DisplayName", record.sheet_name),
        value("CompatibilityName", record.sheet_name),
        value("Description", wizard.function_help(record)),
        '<prop oor:name="Category"><value>Add-In</value></prop>',
        value("CategoryDisplayName", wizard.category(record)),
        '<node oor:name="Parameters">',
    ]
    for name in wizard.argument_names(record):
        lines += [
            f'<node oor:name="{parameter_name(name)}" oor:op="replace">',
            value("DisplayName", name),
            value("Description", wizard.argument_help(record, name)),
            "</node>",
        ]
    return [*lines, "</node>", "</node>"]


def wizard_texts() -> str:
    """CalcAddIns.xcu, keyed by the service name."""
    lines = [
        f'<oor:component-data {REGISTRY} oor:name="CalcAddIns" oor:package="org.openoffice.Office">',
        f'<node oor:name="AddInInfo"><node oor:name="{SERVICE}" oor:op="replace"><node oor:name="AddInFunctions">',
    ]
    for record in CATALOGUE.values():
        lines += function_node(record)
    return XML + "\n".join([*lines, "</node></node></node>", "</oor:component-data>"]) + "\n"


def jobs() -> str:
    """Jobs.xcu: what is done when a document has been loaded."""
    job = opening.IMPLEMENTATION
    return XML + (
        f'<oor:component-data {REGISTRY} oor:name="Jobs" oor:package="org.openoffice.Office">\n'
        f'<node oor:name="Jobs"><node oor:name="{job}" oor:op="replace">'
        f'<prop oor:name="Service"><value>{job}</value></prop></node></node>\n'
        f'<node oor:name="Events"><node oor:name="{opening.EVENT}" oor:op="fuse"><node oor:name="JobList">'
        f'<node oor:name="{job}" oor:op="replace"/></node></node></node>\n'
        "</oor:component-data>\n"
    )


def manifest() -> str:
    kinds = {
        TYPES: "application/vnd.sun.star.uno-typelibrary;type=RDB",
        COMPONENT: "application/vnd.sun.star.uno-component;type=Python",
        TEXTS: "application/vnd.sun.star.configuration-data",
        JOBS: "application/vnd.sun.star.configuration-data",
    }
    lines = ['<manifest:manifest xmlns:manifest="http://openoffice.org/2001/manifest">']
    for path, kind in kinds.items():
        lines.append(
            f"<manifest:file-entry manifest:full-path={quoteattr(path)} manifest:media-type={quoteattr(kind)}/>"
        )
    return XML + "\n".join([*lines, "</manifest:manifest>"]) + "\n"


def description() -> str:
    return XML + (
        '<description xmlns="http://openoffice.org/extensions/description/2006" '
        'xmlns:l="http://libreoffice.org/extensions/description/2011">\n'
        f'<identifier value="{IDENTIFIER}"/>\n<version value="{__version__}"/>\n'
        f'<dependencies><l:LibreOffice-minimal-version value="{OLDEST_OFFICE}" '
        f'name="LibreOffice {OLDEST_OFFICE}"/></dependencies>\n'
        '<display-name><name lang="en">hayfuncs: hay lots, beef cows and supplement</name></display-name>\n'
        "</description>\n"
    )
