"""The XMP metadata that says: this is PDF/A-3a and PDF/UA-1, by whom and when.

WeasyPrint's packet names one standard only. Ours names both, and declares the schema of the second
inside the packet, as PDF/A asks for every schema that it does not know itself.

Source: ISO 16684-1 (XMP), ISO 19005-3, 6.6 (metadata of PDF/A-3), ISO 14289-1, 5 (PDF/UA-1).
"""

from __future__ import annotations

from xml.sax.saxutils import escape

from qa.packs.rendering.document import Document

_BYTE_ORDER_MARK = "\ufeff"

_PACKET = """<?xpacket begin="{mark}" id="W5M0MpCehiHzreSzNTczkc9d"?>
<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">
<rdf:Description rdf:about="" xmlns:pdfaid="http://www.aiim.org/pdfa/ns/id/" \
xmlns:pdfuaid="http://www.aiim.org/pdfua/ns/id/" xmlns:pdf="http://ns.adobe.com/pdf/1.3/" \
xmlns:xmp="http://ns.adobe.com/xap/1.0/">
<pdfaid:part>3</pdfaid:part><pdfaid:conformance>A</pdfaid:conformance><pdfuaid:part>1</pdfuaid:part>
<pdf:Producer>{producer}</pdf:Producer><xmp:CreatorTool>{creator}</xmp:CreatorTool>
<xmp:CreateDate>{dated}</xmp:CreateDate><xmp:ModifyDate>{dated}</xmp:ModifyDate>
</rdf:Description>
<rdf:Description rdf:about="" xmlns:dc="http://purl.org/dc/elements/1.1/">
<dc:title><rdf:Alt><rdf:li xml:lang="x-default">{title}</rdf:li></rdf:Alt></dc:title>
<dc:creator><rdf:Seq><rdf:li>{author}</rdf:li></rdf:Seq></dc:creator>
<dc:description><rdf:Alt><rdf:li xml:lang="x-default">{subject}</rdf:li></rdf:Alt></dc:description>
<dc:language><rdf:Bag><rdf:li>{language}</rdf:li></rdf:Bag></dc:language>
</rdf:Description>
<rdf:Description rdf:about="" xmlns:pdfaExtension="http://www.aiim.org/pdfa/ns/extension/" \
xmlns:pdfaSchema="http://www.aiim.org/pdfa/ns/schema#" \
xmlns:pdfaProperty="http://www.aiim.org/pdfa/ns/property#">
<pdfaExtension:schemas><rdf:Bag><rdf:li rdf:parseType="Resource">
<pdfaSchema:schema>PDF/UA identification</pdfaSchema:schema>
<pdfaSchema:namespaceURI>http://www.aiim.org/pdfua/ns/id/</pdfaSchema:namespaceURI>
<pdfaSchema:prefix>pdfuaid</pdfaSchema:prefix>
<pdfaSchema:property><rdf:Seq><rdf:li rdf:parseType="Resource">
<pdfaProperty:name>part</pdfaProperty:name>
<pdfaProperty:valueType>Integer</pdfaProperty:valueType>
<pdfaProperty:category>internal</pdfaProperty:category>
<pdfaProperty:description>Part of ISO 14289 that the file conforms to</pdfaProperty:description>
</rdf:li></rdf:Seq></pdfaSchema:property>
</rdf:li></rdf:Bag></pdfaExtension:schemas>
</rdf:Description>
</rdf:RDF></x:xmpmeta>
<?xpacket end="r"?>"""


def xmp_packet(document: Document, *, producer: str, creator: str) -> bytes:
    """Return the metadata packet of a document.

    Args:
        document: what is described.
        producer: the program that made the PDF.
        creator: the program that made the page.
    """
    values = {
        "producer": producer,
        "creator": creator,
        "dated": document.dated.strftime("%Y-%m-%dT%H:%M:%SZ"),
        "title": document.title,
        "author": document.author,
        "subject": document.subject,
        "language": document.language,
    }
    escaped = {name: escape(value) for name, value in values.items()}
    return _PACKET.format(mark=_BYTE_ORDER_MARK, **escaped).encode()
