"""The register of codes: permanent, one meaning each, never used again for another."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from loopwright.finding.finding import Finding, Place, Severity

STAGES: Mapping[str, str] = {
    "1": "file and model",
    "2": "plan",
    "3": "block",
    "4": "layout",
    "5": "simulate",
}
"""The stage of a code by its first digit."""


@dataclass(frozen=True, slots=True)
class Code:
    """One entry: `title` names the fault, `remedy` is the standard advice."""

    code: str
    severity: Severity
    title: str
    remedy: str

    @property
    def stage(self) -> str:
        """The stage that finds it."""
        return STAGES[self.code[2]]


def new_finding(
    code: str,
    message: str,
    place: Place | None = None,
    *,
    value: str | None = None,
    allowed: str | None = None,
    remedy: str | None = None,
) -> Finding:
    """A finding with the severity of its code, and its standard remedy unless one is given.

    Raises
    ------
    KeyError
        `code` is not in the register.
    """
    entry = REGISTER[code]
    return Finding(
        code=code,
        severity=entry.severity,
        message=message,
        place=place or Place(),
        value=value,
        allowed=allowed,
        remedy=remedy or entry.remedy,
    )


def _entries() -> tuple[Code, ...]:
    error, warning, note = Severity.ERROR, Severity.WARNING, Severity.NOTE
    model = (
        Code("LW101", error, "File cannot be read", "check the path and its permissions"),
        Code("LW102", error, "File too large", "split it, or move the catalogue to its own file"),
        Code("LW103", error, "Not a text file in UTF-8", "save it as UTF-8 text"),
        Code("LW104", error, "Not valid YAML", "mend the text at this place"),
        Code("LW105", error, "Tab in the indentation", "indent with spaces"),
        Code("LW106", error, "Key given twice", "keep one of the two"),
        Code("LW107", error, "Part of YAML that is not used here", "write the values out plainly"),
        Code("LW108", error, "Too deep, or too many entries", "make the file smaller and flatter"),
        Code("LW109", error, "Nothing in the file", "start from the starter project"),
        Code("LW110", error, "Wrong shape", "write it in the allowed form"),
        Code("LW111", error, "Unknown key", "correct the spelling or take the key out"),
        Code("LW112", error, "Required key missing", "add the key"),
        Code("LW113", error, "Format of the file not known", "write `format: 1`"),
        Code("LW114", error, "Not a quantity", "write a number with its unit"),
        Code("LW115", error, "Unit wrong or missing", "write one of the allowed units"),
        Code("LW116", error, "Outside the range", "choose a value inside the range"),
        Code("LW117", error, "Not one of the allowed words", "write one of the allowed words"),
        Code("LW118", error, "Name not allowed", "choose a name of letters, digits, - and _"),
        Code("LW119", error, "Text not allowed", "write a plain text that fits"),
        Code("LW120", error, "Catalogue not usable", "keep the catalogue in the project's folder"),
        Code("LW131", error, "Unknown station", "name a station of equipment.stations"),
        Code("LW132", error, "Unknown material", "name a material of materials"),
        Code("LW133", error, "Unknown belt", "name a belt of equipment.belts"),
        Code("LW134", error, "Unknown picker", "name a picker of equipment.pickers"),
        Code("LW135", error, "Unknown process", "name a process of processes"),
        Code("LW136", error, "Letter used twice", "give each material its own letter"),
        Code("LW137", error, "Process without outputs", "add at least one output"),
        Code("LW138", error, "Demand that nothing makes", "add a process that makes the material"),
        Code("LW139", error, "Material without supply", "add a process, or set `supply: imported`"),
        Code("LW140", error, "Process does not make the demand", "choose one that makes it"),
        Code("LW141", error, "Warm-up as long as the run", "shorten warm_up or lengthen span"),
        Code("LW142", error, "Obstacle outside the site", "move it, or enlarge the site"),
        Code("LW143", error, "Station larger than the site", "enlarge the site"),
        Code("LW144", error, "Product to maximise not demanded", "name a product of demand"),
        Code("LW145", error, "Least rate above the most", "lower `least` or raise `most`"),
        Code("LW146", error, "Unknown power node", "name one of equipment.power_nodes"),
        Code("LW147", error, "Not an input", "name inputs of processes"),
        Code("LW148", error, "Cap below what a cycle takes", "raise it, or leave it out"),
        # 151 told of several makers of one material, which is nothing to warn of any more.
        Code("LW152", warning, "Outage after the end of the run", "lengthen span or move it"),
        Code("LW153", warning, "Dock for a material made on site", "set `supply: imported`"),
        Code("LW154", warning, "Material not used", "use it in a process, or take it out"),
        Code("LW155", warning, "Quotas that no gate counts", "choose a gate that counts"),
        Code("LW160", error, "Not a table", "mend the table at this place"),
        Code("LW161", error, "Kind of table not clear", "give it the columns of one kind"),
        Code("LW162", error, "Unknown column", "correct the spelling or take the column out"),
        Code("LW163", error, "Column missing", "add the column"),
        Code("LW164", error, "Row does not fit the columns", "give it a cell for each column"),
        Code("LW165", warning, "Table not in UTF-8", "look at the text, and save it as UTF-8"),
        Code("LW166", error, "Decimal mark not clear", "write it with one decimal point"),
        Code("LW167", error, "Amounts not readable", "write them in the allowed form"),
        Code("LW168", note, "Not in the tables yet", "add it before you plan"),
        Code("LW169", note, "Materials listed by themselves", "add a table of materials"),
    )
    later = (
        Code("LW201", error, "Demand cannot be met", "relax one of the limits named"),
        Code("LW202", error, "Not enough stations of a kind", "raise `limit` or lower demand"),
        Code("LW203", error, "Not enough supply at the docks", "add a dock or raise its rate"),
        Code("LW204", error, "Processes feed each other without a start", "import one of them"),
        Code("LW205", warning, "More is made than is used", "use, export or drain the surplus"),
        Code("LW206", error, "Several processes could make one material", "keep one, or choose"),
        Code("LW207", error, "Process rate stands against the demand", "change `least` or `most`"),
        Code("LW208", error, "Surplus has nowhere to go", "let it drain, or use it"),
        Code("LW209", error, "Nothing limits the product to maximise", "give a limit"),
        Code("LW301", error, "More than one product demanded", "demand one product"),
        Code("LW302", warning, "Picker too slow for its station", "use a faster picker or hand"),
        Code("LW303", error, "No row of this length works", "set `row: auto`"),
        Code("LW304", error, "Too little surplus for a loop", "shorten the row"),
        Code("LW305", warning, "Rows leave something over", "choose a closed row design"),
        Code("LW306", error, "Process has no inputs to feed", "choose a process with inputs"),
        Code("LW307", error, "A lane cannot feed one station", "use a faster belt"),
        Code("LW308", error, "Architecture does not fit", "set `architecture: auto`"),
        Code("LW309", error, "Output belt too slow for one station", "use a faster output belt"),
        Code("LW310", warning, "Picker takes ahead from a mixed belt", "use a commit picker"),
        Code("LW311", error, "Treatment not placed", "let each process run in one way"),
        Code("LW312", warning, "First takers leave less", "raise the demand to whole stations"),
        Code("LW313", warning, "What strays once stays", "set `gate: drained`"),
        Code("LW314", warning, "Drained beyond the plan", "raise the supplies, or another gate"),
        Code("LW401", error, "Site too small for the block", "enlarge the site"),
        Code("LW402", error, "No picker reaches far enough", "add one with a longer reach"),
        Code("LW403", error, "Name used twice in the layout", "give each device its own name"),
        Code("LW404", error, "Device off the site", "move it in"),
        Code("LW405", error, "Two things on one cell", "move one of them"),
        Code("LW406", error, "Path broken", "make each cell a neighbour of the one before"),
        Code("LW407", error, "Belt begins or ends one level up", "let it end on the floor"),
        Code("LW408", error, "Belt not known in the layout", "name belts that are there"),
        Code("LW409", error, "Belts do not meet", "let the two belts meet at the junction"),
        Code("LW410", error, "Belt fed twice", "join what feeds it by a merge"),
        Code("LW411", error, "Belt ends twice", "split it by a divert"),
        Code("LW412", error, "Gate not joined", "let its belts end beside its bar"),
        Code("LW413", error, "Picker out of line", "put it in line with both its ends"),
        Code("LW414", error, "Station too narrow for its lanes", "use a wider one, or a loop"),
        Code("LW415", warning, "Device without power", "widen the aisle, or use a larger cover"),
        Code("LW416", error, "Power link too long", "move the nodes together, or add one between"),
        Code("LW417", warning, "Power nodes not all linked", "add a node between the parts"),
        Code("LW418", warning, "Power node asked for too much", "add a node, or one with more"),
        Code("LW419", error, "Power node not known", "name nodes and kinds that are there"),
        Code("LW421", error, "Bridge too long", "let the belt come down on a free cell between"),
        Code("LW422", error, "No way for a belt", "leave free cells between what stands there"),
        Code("LW423", error, "Ramp at a turn", "let the belt rise and fall straight"),
        Code("LW424", error, "Dock walled in", "keep the cell before the dock free"),
        Code("LW425", error, "No room for supply lines", "use fewer docks or inputs"),
        Code("LW426", error, "Hand never full", "use a smaller hand, or more room at its ends"),
        Code("LW427", error, "Site too small for its sections", "enlarge the site"),
        Code("LW428", error, "Too many ways from one output", "shorten the rows"),
        Code("LW429", error, "Bought in to be sent out", "leave that part out of the demand"),
        Code("LW431", error, "Map not understood", "write NAME x,y as the map did before"),
        Code("LW432", error, "Device of the map not known", "use the names of the map"),
        Code("LW433", warning, "Picture changed", "change the places in the legend"),
        Code("LW434", error, "Dock where none can stand", "move it, or give a side only"),
        Code("LW435", error, "Nothing may come back", "choose shorter rows, or another gate"),
        Code("LW436", error, "Mixer not placed", "set `mix: gate`"),
        Code("LW437", error, "Rows that flow together", "let them flow alike in `row_flows`"),
        Code("LW438", error, "Nothing leaves there", "leave that dock out, or demand the material"),
        Code("LW439", error, "No room for sidings", "choose another gate"),
        Code("LW440", error, "Applicator off its belt", "let it stand beside a cell of the belt"),
        Code("LW441", error, "Applicator of unknown material", "name materials that are there"),
        Code("LW442", error, "Applicator without use", "bring it its agent, and what it marks"),
        Code("LW443", warning, "Unmarked carriers may come", "let all of them pass applicators"),
        Code("LW444", error, "Agent line too slow", "use a larger stack of the agent"),
        Code("LW501", error, "Layout cannot be simulated", "mend the layout first"),
        Code("LW502", error, "Tick too fine", "choose speeds and times with small fractions"),
        Code("LW503", warning, "Loop jammed", "read the cause, then change gate or quota"),
        Code("LW504", warning, "Below the demanded rate", "look where stations starve"),
        Code("LW505", note, "Run too short to judge", "lengthen span"),
        Code("LW506", error, "Run too large for this machine", "shorten span or the block"),
    )
    return model + later


REGISTER: Mapping[str, Code] = {entry.code: entry for entry in _entries()}
"""Every code of the program."""
