"""The form `readings.csv`: its rows, grouped by lay of the tape or string, read and written again."""

import csv
import io
from dataclasses import dataclass, field, replace

COLUMNS = ["lay", "check", "kind", "from", "to", "should_be_mm", "limit_mm", "reading_mm"]
KINDS = ("distance", "vehicle", "inline")
WHEELS = ("WFL", "WFR", "WRL", "WRR")


@dataclass(frozen=True)
class Row:
    """One line of the form. Of a string (`inline`) `start` is the mark beside it and `end` its line, as in `1L..4L`."""

    lay: int
    check: str
    kind: str
    start: str
    end: str
    should_be: str = ""
    limit: str = ""
    reading: str = ""

    @property
    def filled(self):
        return self.reading != ""

    @property
    def line(self):
        """The two marks that the string runs through, in its direction."""
        first, last = self.end.split("..")
        return first, last

    @property
    def points(self):
        """All marks that the reading depends on."""
        return (self.start, *self.line) if self.kind == "inline" else (self.start, self.end)

    @staticmethod
    def asked(lay, start, end):
        """A blank row for a pair that is asked for."""
        kind = "inline" if ".." in end else "vehicle" if {start, end} & set(WHEELS) else "distance"
        return Row(lay, "", kind, start, end)

    @property
    def of_wheel(self):
        return any(point in WHEELS for point in self.points)

    def is_of(self, start, end):
        """Whether it reads this pair, whichever end the tape was held at; a string and its mark have one order."""
        return (self.start, self.end) in ((start, end), (end, start))


@dataclass
class Form:
    """The rows in the order of the file."""

    rows: list = field(default_factory=list)

    @staticmethod
    def read(text):
        table = csv.reader(io.StringIO(text))
        header = next(table)
        assert header == COLUMNS, f"the form's columns are {header}"
        rows = [Row(int(line[0]), *line[1:]) for line in table]
        assert all(row.kind in KINDS for row in rows), {row.kind for row in rows} - set(KINDS)
        return Form(rows)

    def text(self):
        out = io.StringIO()
        table = csv.writer(out, lineterminator="\n")
        table.writerow(COLUMNS)
        for row in self.rows:
            lay = row.lay or ""
            table.writerow([lay, row.check, row.kind, row.start, row.end, row.should_be, row.limit, row.reading])
        return out.getvalue()

    @property
    def lays(self):
        return len({row.lay for row in self.rows})

    @property
    def filled(self):
        return sum(row.filled for row in self.rows)

    def write(self, index, reading):
        self.rows[index] = replace(self.rows[index], reading=reading)

    def blank_rows_of_wheels(self):
        """The form with nothing written beside the wheels."""
        return Form([replace(row, reading="") if row.of_wheel else row for row in self.rows])

    def exact(self, kept=None):
        """The form with what should be written in as read, in all rows or in those of the indices `kept`."""
        return Form([
            replace(row, reading=row.should_be if kept is None or index in kept else "")
            for index, row in enumerate(self.rows)
        ])

    def next_lay(self):
        return max((row.lay for row in self.rows), default=0) + 1
