"""Time of reading a heavy PDF, ours beside other readers on the same bytes, in one run.

    python tests/bench/bench_pdf.py            # 40 pages, 240,000 segments
    python tests/bench/bench_pdf.py --pages 4

Trust the ratios: absolute times move with the machine.  The references: pypdf cutting the
same streams into operators, which is only the first of our steps, and PDFium, written in
C++, loading the same pages.
"""

import argparse
import io
import math
import pathlib
import sys
import time

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[2]))

from sewkit.files.pdf_read import read_pages
from tests.files.pdf_assembler import Assembler

RUNS, SEGMENTS = 400, 15  # on each page


def heavy(pages):
    """Pages of dashed and coloured curves in five layers, deterministic, packed."""
    names = [b"S%d" % size for size in range(34, 44, 2)]
    file = Assembler()
    groups = [file.add(b"<< /Type /OCG /Name (%s) >>" % name) for name in names]
    listed = b" ".join(b"%d 0 R" % group for group in groups)
    file.catalogue = b"/OCProperties << /OCGs [%s] /D << /Order [%s] >> >>" % (listed, listed)
    properties = b" ".join(b"/%s %d 0 R" % pair for pair in zip(names, groups))
    for page in range(pages):
        content = b"\n".join(run(page, number, names) for number in range(RUNS))
        file.page(content, resources=b"/Properties << %s >>" % properties, packed=True)
    return file.bytes()


def run(page, number, names):
    """One path of fifteen segments, a third of them curves."""
    x, y = 40 + 13.137 * (number % 40), 40 + 71.31 * (number // 40)
    steps = [b"%.3f %.3f m" % (x, y)]
    for i in range(SEGMENTS):
        turn = 0.4 * i + 0.1 * page + number
        p, q = x + 9 * math.cos(turn), y + 7 * i + 9 * math.sin(turn)
        if i % 3 == 0:
            steps.append(b"%.3f %.3f %.3f %.3f %.3f %.3f c" % (p, y, x, q, p + 1, q))
        else:
            steps.append(b"%.3f %.3f l" % (p, q))
    size = number % 5
    look = b"q %.2f 0 0 RG %.2f w [%d 2] 0 d" % (size / 5, 0.5 + size / 10, size + 2)
    return b"/OC /%s BDC\n%s\n%s\nS\nQ\nEMC" % (names[size], look, b"\n".join(steps))


def by_pypdf(data):
    from pypdf import PdfReader
    from pypdf.generic import ContentStream

    reader = PdfReader(io.BytesIO(data))
    return sum(len(ContentStream(page["/Contents"].get_object(), reader).operations) for page in reader.pages)


def by_pdfium(data):
    import pypdfium2

    document = pypdfium2.PdfDocument(data)
    return sum(sum(1 for _ in page.get_objects()) for page in document)


def best(work, data, times=3):
    shortest = math.inf
    for _ in range(times):
        start = time.perf_counter()
        work(data)
        shortest = min(shortest, time.perf_counter() - start)
    return shortest


def main():
    given = argparse.ArgumentParser()
    given.add_argument("--pages", type=int, default=40)
    data = heavy(given.parse_args().pages)
    printed = read_pages(io.BytesIO(data))
    curves = sum(len(drawn.curves) for page in printed.pages for drawn in page.drawn)
    paths = sum(len(page.drawn) for page in printed.pages)
    print(
        "{} pages, {} paths, {} segments, {:.2f} MB".format(
            len(printed.pages), paths, curves, len(data) / 1e6
        )
    )
    ours = best(lambda data: read_pages(io.BytesIO(data)), data)
    print("sewkit                     {:6.2f} s".format(ours))
    for name, work in (("pypdf, operators only", by_pypdf), ("PDFium, objects only", by_pdfium)):
        try:
            other = best(work, data, 1)
        except ImportError:
            print("{:24}  not installed".format(name))
            continue
        print("{:24}   {:6.2f} s   sewkit takes {:.2f} of it".format(name, other, ours / other))


if __name__ == "__main__":
    main()
