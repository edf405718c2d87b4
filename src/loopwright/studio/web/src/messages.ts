// Written by loopwright.studio.typescript from the messages of the server; do not edit.

// The frame is drawn.
export interface Ack {
  type: "ack";
  frame: number;
}

// What does this device do? Answered now and while it is asked for; null: no longer.
export interface Ask {
  type: "ask";
  device: string | null;
}

// What would be tried on the layout of a text.
export interface AskCases {
  file: string;
  text: string;
  options?: StressOptions;
}

// The layout of a text; an edited one beside the file goes before the placed one.
export interface AskFloor {
  file: string;
  text: string;
}

// Work to be done in the background. What `options` may hold depends on the kind.
export interface AskJob {
  kind: "prove" | "recover" | "remedy" | "stress" | "compare" | "simulate" | "report" | "pdf" | "dxf" | "svg" | "png" | "tables" | "trace" | "film";
  file: string;
  text: string;
  options?: Record<string, unknown>;
}

// A plan to be made, perhaps with another demand ("60/min") or other weights; without its drawing
// it is there sooner.
export interface AskPlan {
  file: string;
  text: string;
  demand?: Record<string, string>;
  weights?: Record<string, string>;
  draw?: boolean;
}

// A text to be checked; `file` is its name in findings, and a catalogue lies beside it.
export interface Check {
  file: string;
  text: string;
}

// Entries of `choices` to be set; null puts one back to auto.
export interface Choose {
  file: string;
  text: string;
  choices: Record<string, string | null>;
}

// Keys that vary, each with its values: all combinations; none: every architecture.
export interface CompareOptions {
  vary?: string[];
}

// One entry to be set in a text: one value, or a list or entries in one line ("[a, b]", "{stack:
// 4}"); null takes the entry out.
export interface Edit {
  file: string;
  text: string;
  path: (string | number)[];
  value: string | null;
}

// Changes of the layout; it is kept when nothing is wrong with it.
export interface EditFloor {
  file: string;
  text: string;
  moves?: Move[];
  rules?: Rule[];
}

// A film of the floor: the run from `start` on for `span`, `speed` seconds of the plant in a
// second of the film. `width` in pixels.
export interface FilmOptions {
  scenario?: string | null;
  start?: string | 0;
  span?: string | 0;
  speed?: number;
  format?: "mp4" | "webp" | "gif" | "apng";
  caption?: string;
  width?: number;
  theme?: "light" | "dark";
}

// A table (CSV) whose rows go into the section `kind`; those of the same name are replaced.
export interface Import {
  file: string;
  text: string;
  kind: "materials" | "processes" | "stations" | "belts" | "pickers";
  name: string;
  table: string;
}

// A device or a row to be put elsewhere: its north-west cell.
export interface Move {
  name: string;
  x: number;
  y: number;
}

// A file to be made: `source` is "starter", the name of an example or a file of the folder.
export interface NewFile {
  name: string;
  source?: string;
}

// Nothing to be told: remedy, dxf.
export interface NoOptions {
}

// A text of a file, sent to be worked on; it need not be saved.
export interface OfText {
  file: string;
  text: string;
}

// Begin a run of a scenario; null: the first of the file, and its own seed. Or one that a job
// speaks of, on the text of that job: `play` is "JOB:ITEM", the loop or the number of the case.
// `turn` comes back in the answer: of runs asked for one after the other only the last counts.
export interface Open {
  type: "open";
  file: string;
  text: string;
  scenario?: string | null;
  seed?: number | null;
  play?: string | null;
  turn?: number;
}

// Let it stand.
export interface Pause {
  type: "pause";
}

// Let it run at `speed` seconds of the plant a second, or as fast as it goes.
export interface Play {
  type: "play";
  speed: number | "max";
}

// Another `gate` to be tried in place of the file's; null: that of the file.
export interface ProveOptions {
  gate?: "open" | "ratio-locked" | "counted" | "windowed" | "scarcest-first" | "drained" | "sorted" | null;
}

// `scenario` that is run until a loop stands; null: the jams that are found. `purge` carriers are
// taken off; null: as many as is usual.
export interface RecoverOptions {
  gate?: "open" | "ratio-locked" | "counted" | "windowed" | "scarcest-first" | "drained" | "sorted" | null;
  scenario?: string | null;
  purge?: number | null;
}

// Another name for a file; its history and its layout go with it.
export interface Rename {
  name: string;
}

// Scenarios that are run for the report, all where none is named.
export interface ReportOptions {
  scenarios?: string[];
}

// A gate, merge or divert that is to follow another rule.
export interface Rule {
  name: string;
  rule: string;
}

// A text to be written; `base` is the digest of the text it was made from.
export interface Save {
  text: string;
  base: string;
}

// Go to a time [s], back too.
export interface Seek {
  type: "seek";
  time: number;
}

// Let gates, merges or diverts follow another rule from now on.
export interface SetRule {
  type: "rule";
  names: string[];
  rule: string;
}

// Paper and colour of sheets: pdf, png, and of svg the colour.
export interface SheetOptions {
  paper?: "A3" | "A4";
  theme?: "light" | "dark";
}

// Scenarios to be run, all where none is named; `hours` instead of their own length; seeds from
// `seed` on, or each scenario's own.
export interface SimulateOptions {
  scenarios?: string[];
  hours?: string | number | null;
  replications?: number;
  seed?: number | null;
}

// Go on by so many ticks and stand.
export interface StepOn {
  type: "step";
  ticks: number;
}

// What is tried; of an empty list the usual: outages ("2 min"), shares that are still supplied
// ("0.8"), shares of picks that are missed, spreads of cycles.
export interface StressOptions {
  gate?: "open" | "ratio-locked" | "counted" | "windowed" | "scarcest-first" | "drained" | "sorted" | null;
  outages?: (string | 0)[];
  shortages?: (string | number)[];
  missed?: (string | number)[];
  spreads?: (string | number)[];
}

// Stop or start the supply of docks; the name of a material stands for all its docks.
export interface Supply {
  type: "supply";
  names: string[];
  on: boolean;
}

// Tables of one run; null: the first scenario. `hours` as for runs.
export interface TablesOptions {
  scenario?: string | null;
  hours?: string | number | null;
  format?: "csv" | "parquet" | "xlsx";
}

// What is on every cell of a run from its start on, a frame `every` so often; null: the first
// scenario.
export interface TraceOptions {
  scenario?: string | null;
  span?: string | 0;
  every?: string | 0;
}

// Belts of one kind that `material` fills at `stack` units a carrier, exact.
export interface BeltNeed {
  material: string;
  belt: string;
  stack: number;
  belts: string;
}

// All rows that make one product, in one architecture (plain, loop or pass). `sides` is double
// (two rows back to back round one output belt) or single. Keys `belt`, `output_belt`, `picker`,
// `output_picker` name equipment; `gate` is the gate rule of loops. `mix` says what mixes fresh
// material before lanes, gate or mixer, and `net_rate` how much of a full belt comes out of it.
// `stations` is what the plan asks, exact; `output_capacity` the stations that one output belt
// serves. `reason` says in a sentence why this design and no other. `treatment` marks all that the
// rows take; "" where none does.
export interface Block {
  process: string;
  product: string;
  architecture: string;
  sides: string;
  stations: string;
  capacity: string;
  output_capacity: string;
  design: RowDesign;
  designs: RowDesign[];
  rows: Row[];
  belt: string;
  output_belt: string;
  picker: string;
  output_picker: string;
  gate: string;
  counts: Counts;
  reason: string;
  mix: string;
  net_rate: string;
  treatment: string;
}

// One row design of an architecture, sized; `key` names it, `picture` is a small drawing (SVG) of
// its rows. `choices` are the entries of the file that choose it.
export interface BlockDesign {
  key: string;
  block: Block;
  picture: string;
  choices: Record<string, string | null>;
}

// Every block that is possible; `chosen` is the key of the one that the choices of the file lead
// to, null where they lead to none; `site` says that the file lays out a site, where these are of
// one section on its own. `findings` are about that one, `refused` say why others are not
// possible.
export interface Blocks {
  designs: BlockDesign[];
  chosen: string | null;
  site: boolean;
  findings: Finding[];
  refused: Finding[];
  ms: number;
}

// All of it, in the order of the rows to come.
export interface Cases {
  cases: StressCase[];
}

// What was counted in the stretches that end at `times` [s]; shares add up to 1.
export interface Chart {
  unit: string;
  times: number[];
  lines: ChartLine[];
}

// A series of a chart, about a material where one is named.
export interface ChartLine {
  name: string;
  material: string;
  values: number[];
}

// What is wrong with a text; `ok` says that there is no error.
export interface Checked {
  ok: boolean;
  digest: string;
  findings: Finding[];
}

// The file is not written: someone else changed the same lines. `digest` is of `theirs`.
export interface Conflict {
  error: string;
  digest: string;
  theirs: string;
}

// What the block takes, counted before anything is placed. `lanes` feed belts past rows;
// `supplies` belts' worth of each material from the docks, exact; `outputs` output belts;
// `pickers` inlet and outlet pickers; `effort` of stations and pickers.
export interface Counts {
  stations: number;
  lanes: number;
  supplies: [string, string][];
  outputs: number;
  pickers: number;
  effort: string;
  power: string;
}

// What a device does now and did until now. `mix`: the share of each material on each cell of a
// belt in the last minutes, tail first.
export interface Device {
  type: "device";
  name: string;
  kind: string;
  facts: Fact[];
  chart: Chart | null;
  mix: number[][];
}

// A text after an edit; null where that is not possible, and the findings say why.
export interface Edited {
  text: string | null;
  findings: Finding[];
}

// The run goes no further, and why.
export interface Ended {
  type: "ended";
  why: string;
}

// A project that comes with the program; `picture` is a small drawing (SVG) of its rows, empty
// where it makes several products.
export interface Example {
  name: string;
  title: string;
  about: string;
  picture: string;
}

// A word about a device, and what it is.
export interface Fact {
  name: string;
  value: string;
}

// Body of every answer with a status of 400 and above.
export interface Failure {
  error: string;
  findings: Finding[];
}

// A file was changed, by whomever; null: it is gone.
export interface FileChanged {
  type: "file";
  file: string;
  digest: string | null;
}

// A project file of the folder; `layout` says that an edited layout lies beside it.
export interface FileEntry {
  file: string;
  title: string;
  digest: string;
  size: number;
  layout: boolean;
}

// Something to tell, as `finding_document` has it; null where not known.
export interface Finding {
  code: string;
  severity: "error" | "warning" | "note";
  message: string;
  file: string | null;
  line: number | null;
  column: number | null;
  path: string | null;
  device: string | null;
  value: string | null;
  allowed: string | null;
  remedy: string | null;
}

// A layout for the page. Belts, stations and pickers stand in the order of frames. `edited` says
// that it comes from the layout beside the file; `cell` [m]. `marks` and `words` are the printed
// drawing, from the floor up, with empty belts.
export interface Floor {
  title: string;
  width: number;
  height: number;
  cell: number;
  digest: string;
  edited: boolean;
  materials: FloorMaterial[];
  belts: FloorBelt[];
  stations: FloorStation[];
  pickers: FloorPicker[];
  gates: FloorDevice[];
  merges: FloorDevice[];
  side_merges: FloorDevice[];
  diverts: FloorDevice[];
  sources: FloorDevice[];
  drains: FloorDevice[];
  stores: FloorDevice[];
  applicators: FloorDevice[];
  obstacles: [number, number, number, number][];
  nodes: FloorDevice[];
  rows: FloorRow[];
  scenarios: string[];
  target: number;
  product: string;
  looks: Record<string, Look>;
  marks: FloorMarks[];
  words: FloorWords[];
}

// The floor; null where there is none, and the findings say why. `kept` says that an edit was
// written to the layout beside the file.
export interface FloorAnswer {
  floor: Floor | null;
  findings: Finding[];
  kept: boolean;
}

// A belt; `path` holds x, y and level of each corner from tail to head, one after the other.
// `speed` [cells/s].
export interface FloorBelt {
  name: string;
  role: string;
  speed: number;
  cells: number;
  path: number[];
  carries: string[];
}

// Whatever else stands: `box` as for stations; `rule` and `rules` where it follows one of several;
// `detail` in a few words; `belts` that it joins; `material` of a dock.
export interface FloorDevice {
  name: string;
  box: [number, number, number, number];
  rule: string | null;
  rules: string[];
  detail: string;
  belts: string[];
  material: string | null;
}

// Lines and areas of a layer of the drawing in one ink, a row of x, y for each; `dot` [cells] is
// the radius of a dot at the end of each line.
export interface FloorMarks {
  layer: string;
  ink: string;
  closed: boolean;
  dot: number;
  points: number[][];
}

// What travels; `colour` 1 to 8 and the path of its hatch on a tile of 4 x 4; `over` is the colour
// role of the hatch.
export interface FloorMaterial {
  name: string;
  letter: string;
  title: string;
  stack: number;
  colour: number;
  hatch: string;
  over: string;
}

// A picker; `facing` is where it puts.
export interface FloorPicker {
  name: string;
  x: number;
  y: number;
  facing: "north" | "east" | "south" | "west";
  source: string;
  target: string;
}

// A row of stations and the box round them.
export interface FloorRow {
  name: string;
  box: [number, number, number, number];
}

// A station; `box` is x, y, width, height.
export interface FloorStation {
  name: string;
  row: string;
  box: [number, number, number, number];
  recipe: string;
}

// Words of a layer in one ink: x, y and height of each one after the other.
export interface FloorWords {
  layer: string;
  ink: string;
  anchor: string;
  angle: number;
  places: number[];
  words: string[];
}

// A rate [units/s] of one material into or out of a process.
export interface Flow {
  material: string;
  rate: string;
}

// All entries of a project file, those that are left out too, in the order of the model.
export interface Form {
  fields: FormField[];
  findings: Finding[];
}

// One entry of the project file. `value` is what is written, null where nothing is or where other
// entries stand below it; `default` is what holds then; `unit` as in "cells"; `allowed` are words
// or names that may stand there, `range` says in words what else; `line` is where it is written.
export interface FormField {
  path: (string | number)[];
  title: string;
  help: string;
  kind: "text" | "quantity" | "choice" | "flag" | "list" | "map";
  unit: string | null;
  allowed: string[];
  range: string;
  value: string | null;
  default: string | null;
  required: boolean;
  line: number | null;
  given: boolean;
}

// How far the whole demand could grow, as a factor, and the key paths of what then binds.
export interface Headroom {
  factor: string;
  paths: string[];
}

// The whole run so far: `rate` [units/s] in the minute that ends at each of `times` [s], or since
// the time before, and how many stations were starved and blocked then.
export interface History {
  type: "history";
  times: number[];
  rate: number[];
  starved: number[];
  blocked: number[];
  events: RunEvent[];
}

// What stands for good since when [s], and why; `belts` are those round it.
export interface Jam {
  since: number;
  sentence: string;
  because: string[];
  rows: string[];
  belts: string[];
}

// Work in the background. `done` from 0 to 1; `note` says what is at hand; times in ISO 8601, UTC;
// `begun` is null while it waits; `digest` is of the text it works on.
export interface Job {
  id: string;
  kind: "prove" | "recover" | "remedy" | "stress" | "compare" | "simulate" | "report" | "pdf" | "dxf" | "svg" | "png" | "tables" | "trace" | "film";
  file: string;
  digest: string;
  options: Record<string, unknown>;
  state: "waiting" | "running" | "done" | "failed" | "cancelled" | "interrupted";
  done: number;
  note: string;
  made: string;
  begun: string | null;
  ended: string | null;
  files: JobFile[];
  error: string | null;
  findings: Finding[];
}

// A job was made, went on or ended; null: it was taken off the list.
export interface JobChanged {
  type: "job";
  id: string;
  job: Job | null;
}

// A file that a job made; `size` [bytes].
export interface JobFile {
  name: string;
  size: number;
}

// A job and what it found so far: the document of the command of the same name.
export interface JobResult {
  job: Job;
  result: unknown;
}

// What one lane carries: carriers of each material per cycle of a station, and the stations that a
// full lane serves (`capacity`, c).
export interface Lane {
  materials: string[];
  carriers: string[];
  capacity: string;
}

// One limit of the project file, at key path `path`, and how much of it is used. `kind` is demand,
// stations, docks, deposit, least, most, surplus or, where whole stations of a limited kind are
// divided among processes, share; `limit` and `used` are in units/s, in stations or, for least and
// most, in cycles/s. `price` is what one more of the limit changes the cost by; `gain` [units/s]
// what it gives of a product that is maximised, else None.
export interface LimitUse {
  kind: string;
  name: string;
  path: string;
  limit: string;
  used: string;
  price: string;
  gain: string | null;
}

// The most that is taken: characters of a text, of a table; [bytes].
export interface Limits {
  text: number;
  table: number;
}

// How marks of an ink look: colour roles, `hatch1` or nothing; `width` and `halo` [cells], or of a
// hair line [px].
export interface Look {
  stroke: string;
  fill: string;
  width: number;
  dash: number[];
  hair: boolean;
  bold: boolean;
  halo: number;
}

// One material of the plan; all rates [units/s]. `made` + `imported` + `drawn` = `used` +
// `demanded` + `surplus`. `value` is what one more unit a second would cost, anywhere on the site.
export interface MaterialPlan {
  material: string;
  made: string;
  imported: string;
  used: string;
  demanded: string;
  surplus: string;
  drawn: string;
  value: string;
}

// The run stands at its start; `tick` and `span` of the scenario [s], `most` [s] that it can go on
// to.
export interface Opened {
  type: "opened";
  tick: number;
  span: number;
  most: number;
  digest: string;
  scenario: string;
  seed: number;
  turn: number;
}

// Rates of a whole project. Processes stand downstream first (products before parts). `power` [kW]
// and `effort` are those of whole stations and applicators. `cost` is the sum that the objective
// keeps small, of exact stations. `headroom` is None where nothing limits the demand, or where a
// product is `maximised` (else "").
export interface Plan {
  processes: ProcessPlan[];
  materials: MaterialPlan[];
  belts: BeltNeed[];
  power: string;
  effort: string;
  cost: string;
  limits: LimitUse[];
  treatments: TreatmentPlan[];
  headroom: Headroom | null;
  maximised: string;
}

// The plan of a text; null with findings where there is none. `flow` is a drawing (SVG) that takes
// the colours of the page, null where none was asked for; `titles` are those of processes and
// materials; `demand` and `weights` are those that were asked for, as they are written; `ms` is
// the time it took [ms].
export interface Planned {
  plan: Plan | null;
  flow: string | null;
  explain: string[];
  findings: Finding[];
  titles: Record<string, string>;
  demand: Record<string, string>;
  weights: Record<string, string>;
  ms: number;
}

// One process of the plan, with one treatment or with none (""). `cycles` [1/s] over all stations;
// `stations` exact and `whole`; `spare` [1/s] the cycles that the whole stations could do beyond
// that; `applicators` exact and `whole_applicators`; `power` [kW] and `effort` of what is whole.
// `makes` and `uses` are its flows, `premium` what one cycle a second would cost more than other
// ways do, at least (0 for what runs).
export interface ProcessPlan {
  process: string;
  station: string;
  cycles: string;
  stations: string;
  whole: number;
  power: string;
  effort: string;
  treatment: string;
  spare: string;
  applicators: string;
  whole_applicators: number;
  makes: Flow[];
  uses: Flow[];
  premium: string;
}

// One row: `role` is main or make-up; `lanes` run past it (one, or one a material).
export interface Row {
  name: string;
  role: string;
  stations: number;
  lanes: Lane[];
}

// How the stations split into rows. `lanes` rows of `row` stations are each fed by one lane;
// `make_up` further rows of `make_up_row` stations live on what they leave over. `fill` is the
// share of a lane that its row uses, row / c. `closed` says that nothing is left over.
export interface RowDesign {
  lanes: number;
  row: number;
  make_up: number;
  make_up_row: number;
  fill: string;
  closed: boolean;
}

// An order could not be carried out.
export interface RunError {
  type: "error";
  error: string;
  findings: Finding[];
}

// Something to be marked on the time line; `end` [s] is null where it goes on.
export interface RunEvent {
  kind: "outage" | "change" | "jam";
  time: number;
  end: number | null;
  words: string;
}

// The file is written. `text` is what it holds now where that is not what was sent: changes of
// someone else on other lines are in it too.
export interface Saved {
  digest: string;
  text: string | null;
}

// Where the run is. `rate` of the last minute and `target` [units/s]; `speed` that is reached
// [s/s]; `reach` is the latest time it was at [s]; `off` are docks whose supply is stopped,
// `rules` what gates, merges and diverts follow that were changed.
export interface Status {
  type: "status";
  time: number;
  reach: number;
  playing: boolean;
  speed: number;
  rate: number;
  target: number;
  made: number;
  busy: number;
  starved: number;
  blocked: number;
  down: number;
  stock: Stock[];
  off: string[];
  rules: Record<string, string>;
  jam: Jam | null;
}

// Carriers and units of a material on all belts, and stations that starve for it.
export interface Stock {
  material: string;
  carriers: number;
  units: number;
  starved: number;
}

// One thing that is done: `span` [s] and `share` exact.
export interface StressCase {
  kind: string;
  material: string;
  span: string;
  share: string;
}

// What the studio is and where it works. `film` lists the formats it can write.
export interface Studio {
  version: string;
  folder: string;
  examples: Example[];
  limits: Limits;
  film: string[];
}

// The text of a file and its digest.
export interface Text {
  file: string;
  text: string;
  digest: string;
}

// One treatment at work: units marked and agent spent [units/s]. `saving` is what the plan would
// cost more without it; None where there is none without it.
export interface TreatmentPlan {
  treatment: string;
  marked: string;
  agent: string;
  spent: string;
  saving: string | null;
}

// A text that the file had; `time` in ISO 8601, UTC. Lines against the version before.
export interface Version {
  id: string;
  time: string;
  digest: string;
  lines_added: number;
  lines_removed: number;
}

// What each kind of job may be told.
export interface JobOptions {
  prove: ProveOptions;
  recover: RecoverOptions;
  remedy: NoOptions;
  stress: StressOptions;
  compare: CompareOptions;
  simulate: SimulateOptions;
  report: ReportOptions;
  pdf: SheetOptions;
  dxf: NoOptions;
  svg: SheetOptions;
  png: SheetOptions;
  tables: TablesOptions;
  trace: TraceOptions;
  film: FilmOptions;
}

export type RunOrder = Open | Play | Pause | StepOn | Seek | Supply | SetRule | Ask | Ack;

export type RunAnswer = Opened | Status | History | Device | Ended | RunError;

export type StudioEvent = JobChanged | FileChanged;
