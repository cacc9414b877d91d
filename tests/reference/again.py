"""What the scripts of this folder share: sets a script's figures beside the stored ones and tells how far apart they are.

    python3 tests/reference/NAME.py            # compares; ends with 1 where a figure differs by more than its last digit
    python3 tests/reference/NAME.py --write    # puts the script's figures in place of the stored ones

A stored file holds what was given beside what was made of it. A script reads what was given, works out the rest, and
lays each figure over the stored one by `put`; what it never lays over counts as given. A figure agrees when it is the
stored one to the digits that were printed, or within the relative `rel` where all digits were.
"""
import csv
import io
import json
import math
import pathlib
import sys

HERE = pathlib.Path(__file__).parent
WRITE = "--write" in sys.argv
REL = 1e-9


class Printed(float):
    """A number that remembers how it was printed."""

    def __new__(cls, text):
        it = super().__new__(cls, text)
        it.text = text
        return it


def places(text):
    """Digits after the point, significant digits."""
    head = text.lower().split("e")
    power = int(head[1]) if len(head) > 1 else 0
    whole, _, part = head[0].lstrip("+-").partition(".")
    return max(0, len(part) - power), len((whole + part).strip("0") if part else whole.strip("0")) or 1


def last_digit(value, after, significant):
    """Half of the last printed place, and a little."""
    if value == 0:
        return 0.51 * 10.0**-after
    return 0.51 * max(10.0**-after, 10.0 ** (math.floor(math.log10(abs(value))) - significant + 1))


class Book:
    def __init__(self, name):
        self.name, self.made, self.given, self.worst, self.wrong = name, 0, 0, 0.0, []

    def put(self, box, key, value, rel=REL, allowed=None):
        """Lays `value` over the stored `box[key]`; `allowed` is an absolute deviation where the way of making is random."""
        stored = box[key]
        where = f"{self.name} {key}"
        self.made += 1
        if value is None or isinstance(stored, (str, bool)) and not isinstance(stored, Printed):
            if stored != value:
                self.wrong.append(f"{where}: {value!r} where {stored!r} is stored")
        elif stored is None:
            self.wrong.append(f"{where}: {value!r} where nothing is stored")
        elif isinstance(value, (list, tuple)):
            self.made -= 1
            if len(value) != len(stored):
                self.wrong.append(f"{where}: {len(value)} for {len(stored)}")
            for n, each in enumerate(value[: len(stored)]):
                self.put(stored, n, each, rel, allowed)
            return
        else:
            value = float(value)
            room = rel * max(abs(value), abs(stored)) + 1e-15
            text = getattr(stored, "text", repr(stored))
            if allowed is not None:
                room = allowed
            elif "." in text and not text.endswith(".0"):
                after, significant = getattr(stored, "column", places(text))
                room = max(room, last_digit(float(stored), after, significant))
            elif hasattr(stored, "column"):
                room = max(room, last_digit(float(stored), *stored.column))
            off = abs(value - stored)
            self.worst = max(self.worst, off / max(abs(stored), 1e-12) if stored else off)
            if not off <= room:
                self.wrong.append(f"{where}: {value!r} where {text} is stored")
            elif allowed is not None:
                return
        if WRITE:
            box[key] = self.like(stored, value)

    @staticmethod
    def like(stored, value):
        """Printed as the stored figure was."""
        if not isinstance(stored, Printed) or not isinstance(value, float):
            return value
        # A figure that is the stored one but for the last bit keeps its digits: rewriting shows no noise.
        return stored if abs(value - stored) <= 1e-9 * abs(stored) else Printed(f"{value:.{places(stored.text)[1]}g}")

    def line(self, all_figures):
        given = all_figures - self.made
        return f"{self.name:36} made {self.made:5}  given {given:5}  worst {self.worst:.1e}" + (
            f"  WRONG {len(self.wrong)}" if self.wrong else "")


BOOKS = []


def table(name, make):
    """Each line of a CSV file: `make(row, put)` with the row as a dict; numbers are `Printed`, words stay words."""
    path = HERE / name
    text = path.read_text()
    reader = csv.DictReader(io.StringIO(text))
    rows, book = list(reader), Book(name)
    columns = {}
    for row in rows:
        for key, cell in row.items():
            try:
                float(cell)
            except (TypeError, ValueError):
                continue
            row[key] = Printed(cell)
            after, significant = columns.get(key, (0, 1))
            a, s = places(cell)
            columns[key] = (max(after, a), max(significant, s))
    for row in rows:
        for key, cell in row.items():
            if isinstance(cell, Printed):
                cell.column = columns[key]
    for row in rows:
        make(row, lambda key, value, row=row, **more: book.put(row, key, value, **more))
    finish(book, sum(1 for row in rows for cell in row.values() if cell not in (None, "")))
    if WRITE and not book.wrong:
        out = io.StringIO()
        writer = csv.writer(out, lineterminator="\n")
        writer.writerow(reader.fieldnames)
        writer.writerows([getattr(row[k], "text", row[k]) for k in reader.fieldnames] for row in rows)
        path.write_text(out.getvalue())


def tree(name, make):
    """A JSON file: `make(data, put)`, with `put(box, key, value)` for each figure that the script makes."""
    path = HERE / name
    data = json.loads(path.read_text(), parse_float=Printed)
    book = Book(name)
    make(data, book.put)
    finish(book, leaves(data))
    if WRITE and not book.wrong:
        path.write_text(json.dumps(data, indent=1) + "\n")


def leaves(data):
    if isinstance(data, dict):
        return sum(map(leaves, data.values()))
    return sum(map(leaves, data)) if isinstance(data, list) else 1


def finish(book, figures):
    BOOKS.append(book)
    print(book.line(figures), flush=True)
    for wrong in book.wrong[:8]:
        print("   ", wrong)


def end():
    """Ends the script: 1 where a figure was wrong."""
    sys.exit(any(book.wrong for book in BOOKS))
