#!/usr/bin/env python3
"""Validate scores against the MusicXML 4.0 schema.

    python3 tests/reference/corpus_schema.py            the whole corpus, packed files unpacked
    python3 tests/reference/corpus_schema.py FILE...    these files

Reference: MusicXML 4.0, W3C Music Notation Community Group, Final Community Group Report (2021), `musicxml.xsd` as the
PyPI package `musicxml` carries it; the schemas of the `xml:` and `xlink:` attributes that it imports are the W3C's, as
the package `xmlschema` carries them. Nothing is fetched. Needs lxml; see requirements.txt beside this file.
"""

import importlib.util
import io
import sys
import zipfile
from pathlib import Path

from lxml import etree

CORPUS = Path(__file__).resolve().parents[2] / "corpus"
SCORES = ("*.musicxml", "*.mxl", "*.xml")


def package_file(package, *path):
    """A data file of an installed package, found without running the package."""
    spec = importlib.util.find_spec(package)
    if spec is None:
        sys.exit(f"package `{package}` is not installed; see tests/reference/requirements.txt")
    return Path(spec.origin).parent.joinpath(*path)


class Offline(etree.Resolver):
    """Finds the two imported schemas on this machine instead of the network."""

    def resolve(self, url, _id, context):
        local = {"xml.xsd": ("schemas", "XML", "xml.xsd"), "xlink.xsd": ("schemas", "XLINK", "xlink.xsd")}
        name = url.rsplit("/", 1)[-1]
        if name in local:
            return self.resolve_filename(str(package_file("xmlschema", *local[name])), context)
        return None


def load_schema():
    """The compiled schema; refuses any other version of MusicXML."""
    path = package_file("musicxml", "generate_classes", "musicxml_4_0.xsd")
    parser = etree.XMLParser(no_network=True)
    parser.resolvers.add(Offline())
    document = etree.parse(str(path), parser)
    if "Version 4.0" not in document.findtext(".//{*}documentation"):
        sys.exit(f"{path} is not the schema of MusicXML 4.0")
    return etree.XMLSchema(document)


def score_bytes(path):
    """The score itself; of a packed one the root that its container file names."""
    data = path.read_bytes()
    if not data.startswith(b"PK"):
        return data
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        container = etree.fromstring(archive.read("META-INF/container.xml"))
        return archive.read(container.find(".//{*}rootfile").get("full-path"))


def main(arguments):
    schema = load_schema()
    files = [Path(argument) for argument in arguments]
    files = files or sorted(path for pattern in SCORES for path in CORPUS.glob(pattern))
    parser = etree.XMLParser(load_dtd=False, no_network=True)
    invalid = 0
    for path in files:
        score = etree.fromstring(score_bytes(path), parser)
        if score.get("version") == "4.0" and schema.validate(score):
            continue
        invalid += 1
        print(f"{path.name}: version {score.get('version')}")
        for error in schema.error_log:
            print(f"  line {error.line}: {error.message}")
    print(f"{len(files) - invalid} of {len(files)} scores are valid MusicXML 4.0")
    return 1 if invalid or not files else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
