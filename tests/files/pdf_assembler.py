"""A PDF put together by hand, so that every number in it is known.

page(b"0 0 m 72 0 l S")                  # a whole file of one page, as bytes
file = Assembler(); form = file.add(...); file.page(...); file.bytes()
"""

import zlib

POINT = 25.4 / 72.0


def stream(data, entries=b"", packed=False):
    """A stream object's body."""
    if packed:
        data, entries = zlib.compress(data), entries + b" /Filter /FlateDecode"
    return b"<< /Length %d %s >>\nstream\n%s\nendstream" % (len(data), entries, data)


class Assembler:
    """Objects by number; 1 is the catalogue, 2 the tree of pages."""

    def __init__(self, catalogue=b"", tree=b"", info=b""):
        self.objects = {1: None, 2: None}
        self.kids = []
        self.catalogue, self.tree, self.info = catalogue, tree, info

    def add(self, body):
        """Add an object; its number."""
        number = len(self.objects) + 1
        self.objects[number] = body
        return number

    def later(self):
        """A number for an object whose body comes later."""
        return self.add(b"null")

    def page(self, content, entries=b"", resources=b"", box=b"0 0 595 842", packed=False):
        """Add a page; its number as an object.  ``content`` may be a list of streams."""
        parts = content if isinstance(content, list) else [content]
        numbers = [self.add(stream(part, packed=packed)) for part in parts]
        listed = b" ".join(b"%d 0 R" % number for number in numbers)
        given = b"/Resources << %s >>" % resources if resources else b""
        media = b"/MediaBox [%s]" % box if box else b""
        body = b"<< /Type /Page /Parent 2 0 R %s %s %s /Contents [%s] >>" % (media, given, entries, listed)
        self.kids.append(self.add(body))
        return self.kids[-1]

    def bytes(self, table=True):
        """The file; without its table of contents for damage tests."""
        kids = b" ".join(b"%d 0 R" % kid for kid in self.kids)
        self.objects[1] = b"<< /Type /Catalog /Pages 2 0 R %s >>" % self.catalogue
        self.objects[2] = b"<< /Type /Pages /Kids [%s] /Count %d %s >>" % (kids, len(self.kids), self.tree)
        data, places = b"%PDF-1.7\n%\xe2\xe3\xcf\xd3\n", []
        for number in sorted(self.objects):
            places.append(len(data))
            data += b"%d 0 obj\n%s\nendobj\n" % (number, self.objects[number])
        if not table:
            return data
        start = len(data)
        data += b"xref\n0 %d\n0000000000 65535 f \n" % (len(places) + 1)
        data += b"".join(b"%010d 00000 n \n" % place for place in places)
        info = b"/Info << %s >>" % self.info if self.info else b""
        data += b"trailer\n<< /Size %d /Root 1 0 R %s >>\n" % (len(places) + 1, info)
        return data + b"startxref\n%d\n%%%%EOF\n" % start


def page(content, **more):
    """A file of one page."""
    file = Assembler()
    file.page(content, **more)
    return file.bytes()
