"""The order as a table for spreadsheets and as text for the terminal."""

from __future__ import annotations

import csv
import io
from dataclasses import replace
from fractions import Fraction

import pytest

from lapwright.job.estimating import Estimating
from lapwright.measure import FOOT, Unit
from lapwright.plan import SupplyLine
from lapwright_cli.reports.order import order_csv, order_text
from lapwright_cli.reports.writing import bound_words
from tests.cli.reports.small_plan import PLAN, renamed

# 120 in: 3 + 1 spare at 9.00 are 36.00.  150 in: 3 + 1 spare make one carton of 12 at
# 11.40, which is 136.80.  The trim has no price.
EXPECTED_CSV = (
    "use,material,stock length [in],pieces planned,spare,pieces to have,"
    "pieces a carton,cartons,pieces bought,price each [$],cost [$]\r\n"
    "Siding,double 4,120,3,1,4,,,4,9.00,36.00\r\n"
    "Siding,double 4,150,3,1,4,12,1,12,11.40,136.80\r\n"
    "J-channel,J-channel 3/4 in,150,3,1,4,,,4,,\r\n"
)

# The pieces of siding come to 80 + 120.5 + 150 + 50.5 + 110 + 90.5 + 99.5 = 701 in of
# 810 in, so 109 / 810 = 13.5 % are offcut and kerf; those of trim to 2 × 37.5 + 2 × 10.25
# + 2 × 101.25 = 298 in of 450 in, so 33.8 %.  Of 450 in at most 50 can be saved: 11.1 %.
EXPECTED_TEXT = """\
Order for Small shed
1 wall, 33.3 sq ft in all, 31.3 sq ft without the openings; 7 pieces of siding, 6 pieces of trim

Siding: double 4
  stock length  planned  spare  to have  cartons  bought    each     cost
           10'        3      1        4        -       4   $9.00   $36.00
        12' 6"        3      1        4   1 × 12      12  $11.40  $136.80
  planned: 6 stock lengths, $61.20 before spare and whole cartons
  proven: from these stock lengths no cutting of the pieces costs less (bound $61.20)
  offcut and kerf: 13.5 % of 67' 6"
  seams: 3

J-channel: J-channel 3/4 in
  stock length  planned  spare  to have  cartons  bought  each  cost
        12' 6"        3      1        4        -       4     -     -
  planned: 3 stock lengths, 37' 6" of stock before spare and whole cartons
  time limit: the best found so far; no cutting comes to less than 33' 4" of stock, so at most 11.1 % could still be saved
  offcut and kerf: 33.8 % of 37' 6"

Total
  stock lengths: 9 planned + 3 spare + 8 to fill cartons = 20 bought
  cost: $172.80; 1 material has no price

To know before work begins
  - wall A course 4: the piece at the peak ends in two points
  - wall South: the window W1 stands 12 in above the ground

Assumed
  gap at every stop                              1/4"
  lap at a seam                                  1"
  notch wider than its opening, each side        1/4"
  notch below a sill or eave                     1/8"
  notch above a head                             1/8"
  seams of neighbouring courses apart, at least  24"
  shortest piece at a seam                       24"
  blade takes from siding (kerf)                 1/8"
  blade takes from trim (kerf)                   0"
  seams of a run beyond the fewest, at most      0; extra_seams: 1 often saves stock
  exposure of a course                           8"
  temperature at hanging                         70 °F
  spare on each count                            10.0 %
  made by                                        lapwright 0.1.0
"""  # noqa: E501 - lines as the terminal shows them


def test_the_csv_is_as_expected() -> None:
    """The whole table, with headings, numbers, empty cells and line ends."""
    assert order_csv(PLAN) == EXPECTED_CSV


def test_the_text_is_as_expected() -> None:
    """The whole text, but for the number of the version."""
    from lapwright import __version__

    assert order_text(PLAN) == EXPECTED_TEXT.replace("VERSION", __version__)


@pytest.mark.parametrize("name", ["=1+1", "+1", "-1", "@SUM(A1)", "=cmd|' /C calc'!A0"])
def test_a_name_is_never_a_formula(name: str) -> None:
    """A name that a spreadsheet would compute is led by an apostrophe."""
    rows = list(csv.reader(io.StringIO(order_csv(renamed(PLAN, name)))))
    assert [row[1] for row in rows[1:]] == [f"'{name}"] * 3


def test_names_with_commas_quotes_and_line_ends_stay_in_their_cell() -> None:
    """Whatever a name holds, every row has eleven cells, and the quotes come back."""
    text = order_csv(renamed(PLAN, 'six, "D4"\r\n=1'))
    rows = list(csv.reader(io.StringIO(text)))
    assert {len(row) for row in rows} == {11}
    assert rows[1][1] == 'six, "D4" =1'


def test_proven_stands_only_where_it_is() -> None:
    """An order whose cuttings ran into the limit nowhere says proven."""
    materials = tuple(
        replace(m, status="time limit", bound=m.bound - 1) for m in PLAN.materials
    )
    text = order_text(replace(PLAN, materials=materials))
    assert "proven" not in text
    assert text.count("time limit: the best found so far") == 2


RULES = "with these stock lengths and rules"
NONE = "no other seams and no other cutting cost less"


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({}, f"proven: {RULES} {NONE} (bound $61.20)"),
        (
            {"least_seams": 3},
            f"proven: {RULES} there can be no fewer seams, and with as many {NONE}"
            " (bound $61.20)",
        ),
        (
            {"least_seams": 2},
            f"proven: {RULES} and no more seams {NONE}; fewer than 3 seams may do, but not"
            " fewer than 2 (bound $61.20)",
        ),
        (
            # All rules may be kept and nothing be cheaper, and yet it is not settled.
            {"status": "work limit"},
            f"work limit: {RULES} {NONE} (bound $61.20); whether fewer rules could be broken"
            " is not known",
        ),
        (
            {"status": "work limit", "bound": 600_000},
            "work limit: the best found so far; no seams and no cutting come to less than"
            " $60.00, so at most 2.0 % could still be saved",
        ),
        (
            {"status": "time limit", "bound": 600_000, "least_seams": 2},
            "time limit: the best found so far; with no more seams than these nothing comes to"
            " less than $60.00, so at most 2.0 % could still be saved; fewer than 3 seams may"
            " do, but not fewer than 2",
        ),
    ],
)
def test_what_is_known_of_seams_and_cutting(changes: dict[str, object], words: str) -> None:
    """The order says of what the bound is, and how far it is proven."""
    siding = replace(PLAN.materials[0], seams_too=True, **changes)  # type: ignore[arg-type]
    assert bound_words(siding, PLAN) == words


def test_a_metric_order_is_in_millimetres() -> None:
    """A metric job gets millimetres, square metres and degrees Celsius."""
    metric = replace(PLAN, job=replace(PLAN.job, unit=Unit.MILLIMETRE, currency="EUR"))
    text = order_text(metric)
    assert '"' not in text
    assert "3048 mm" in text  # 120 in
    assert "3.1 m² in all, 2.9 m² without" in text  # 4800 and 4512 sq in
    assert "21 °C" in text
    assert "EUR 36.00" in text
    assert order_csv(metric).splitlines()[1].startswith("Siding,double 4,3048,")


def test_names_cannot_steer_the_terminal() -> None:
    """Control characters and turning marks of a name do not reach the terminal."""
    text = order_text(renamed(PLAN, "wall \x1b[31m\u202eA\nB\x07"))
    assert not set(text) & {"\x1b", "\x07", "\u202e"}
    assert "Order for wall [31mA B\n" in text


COUNTED = replace(
    PLAN,
    supplies=(
        SupplyLine("siding nails", 58, "nails", 'every 16" of 4 courses'),
        SupplyLine("weather barrier", 1, "rolls", "=33.3 sq ft in all"),
    ),
)


def test_what_is_counted_by_rule_stands_apart() -> None:
    """Supplies have a section of their own, after all that is cut and its total."""
    text = order_text(COUNTED)
    section = (
        "\n\nCounted by rule, not cut\n"
        '  58 nails  siding nails     every 16" of 4 courses\n'
        "    1 roll  weather barrier  =33.3 sq ft in all\n\nTo know"
    )
    assert section in text
    assert text.replace(section, "\n\nTo know") == order_text(PLAN)


def test_supplies_in_the_csv_have_a_heading_and_as_many_cells() -> None:
    """Rows of supplies follow all rows of stock lengths, in eleven cells like these."""
    rows = list(csv.reader(io.StringIO(order_csv(COUNTED))))
    assert {len(row) for row in rows} == {11}
    assert rows[4][:4] == ["Counted by rule, not cut", "quantity", "unit", "how it was counted"]
    assert rows[5][:4] == ["siding nails", "58", "nails", 'every 16" of 4 courses']
    assert rows[6][:4] == ["weather barrier", "1", "rolls", "'=33.3 sq ft in all"]
    assert order_csv(COUNTED).startswith(order_csv(PLAN))


def test_the_order_ends_with_the_conventions() -> None:
    """By hand: a wall and a gable of 200 by 16 in each, a window of 36 by 8 in, 20 % waste.

    A piece covers 1200 sq in.  With the window off, 3200 + 1600 - 288 = 4512 sq in and
    their waste take 4.5 pieces; with half of it off 4.7; in full, without waste, 4.0.  The
    gable 12 in higher is 1600 × 28 / 16 = 2800 sq in, and all takes 5.7.  With its own
    waste it is 1920, 2133 or 2400 sq in beside 2912 × 1.2: 4.5, 4.7 or 4.9.
    Three of 150 and three of 120 in are 810 in, which 5.4 of 150 in are.
    """
    estimating = Estimating(Fraction(1, 5), Fraction(FOOT * FOOT))
    text = order_text(replace(PLAN, job=replace(PLAN.job, estimating=estimating)))
    assert text.endswith(
        """
Estimating conventions, 20.0 % waste added, in pieces of 150"
  by all openings off: 5 pieces, the plan cuts 6 of 2 lengths, as long as 6
  by half of the openings off: 5 pieces, the plan cuts 6 of 2 lengths, as long as 6
  by only large openings off: 5 pieces, the plan cuts 6 of 2 lengths, as long as 6
  by no opening off, instead of waste: 4 pieces, the plan cuts 6 of 2 lengths, as long as 6
  by all openings off, gables 1 ft higher: 6 pieces, the plan cuts 6 of 2 lengths, as long as 6
  by all openings off, gables and 20 %: 5 pieces, the plan cuts 6 of 2 lengths, as long as 6
  by all openings off, gables and one third: 5 pieces, the plan cuts 6 of 2 lengths, as long as 6
  by all openings off, gables 3/4 of width x height: 5 pieces, the plan cuts 6 of 2 lengths, as long as 6
  by all openings off, gables x 1.5: 5 pieces, the plan cuts 6 of 2 lengths, as long as 6
"""  # noqa: E501 - lines as the terminal shows them
    )


def test_a_remark_is_told_once() -> None:
    """What stands among the findings and the remarks is one thing to know, not two."""
    told = replace(PLAN, findings=(*PLAN.job.remarks, *PLAN.findings))
    assert order_text(told).count("the window W1 stands 12 in above the ground") == 1
