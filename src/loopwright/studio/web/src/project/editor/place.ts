// Where in the structure of a YAML text a place is: the key path, and whether a key or a value goes there.

export type Step = string | number;

export interface Place {
  /** Keys above the place; 0 stands for an item of a list, whichever. For a value, its key is last. */
  readonly path: readonly Step[];
  readonly at: "key" | "value";
  /** Where the word at the place begins [characters of the line]. */
  readonly from: number;
  /** Keys that stand beside the place already. */
  readonly beside: ReadonlySet<string>;
}

const KEY = /^("[^"]*"|'[^']*'|[^\s"'#:,{}[\]-][^:#{}[\]]*?|-[^\s:#][^:#]*?)\s*:(?=\s|$)/;
/** How far up an open bracket is looked for [lines]. */
const FLOW = 40;

/** The place at `column` (from 0) of `lines[row]`. */
export function placeAt(lines: readonly string[], row: number, column: number): Place {
  const start = flowStart(lines, row, column);
  const lead = leading(lines[start] ?? "");
  const above = blockPath(lines, start, lead);
  if (start === row && !opens((lines[row] ?? "").slice(0, column))) {
    const rest = (lines[row] ?? "").slice(lead.key, column);
    const key = KEY.exec(rest);
    if (key) {
      const value = rest.slice(key[0].length);
      const from = column - value.trimStart().length;
      return { path: [...above, bare(key[1] as string)], at: "value", from, beside: new Set() };
    }
    return { path: above, at: "key", from: lead.key, beside: besides(lines, row, lead) };
  }
  const before = lines.slice(start, row).join("\n") + (start === row ? "" : "\n");
  const whole = before + (lines[row] ?? "").slice(0, column);
  const inside = flowPlace(whole.slice(lead.key));
  return { ...inside, path: [...above, ...inside.path], from: inside.from + lead.key - before.length };
}

interface Lead {
  /** Column of a dash, if there is one. */
  readonly dash: number | null;
  /** Column of what comes after blanks and dashes. */
  readonly key: number;
}

function leading(line: string): Lead {
  const found = /^( *)((?:- +)*)/.exec(line) as RegExpExecArray;
  const [blanks, dashes] = [(found[1] ?? "").length, (found[2] ?? "").length];
  return { dash: dashes ? blanks : null, key: blanks + dashes };
}

/** Keys above `row` by how far lines stand in. */
function blockPath(lines: readonly string[], row: number, lead: Lead): Step[] {
  const path: Step[] = [];
  let within = lead.dash ?? lead.key;
  let list = lead.dash;
  if (lead.dash !== null) path.push(0);
  for (let at = row - 1; at >= 0 && (within > 0 || list !== null); at -= 1) {
    const line = lines[at] ?? "";
    if (!line.trim() || line.trimStart().startsWith("#")) continue;
    const here = leading(line);
    const key = KEY.exec(line.slice(here.key));
    if (list !== null) {
      if (here.dash !== null && here.dash >= list) continue;
      if (here.key > list || !key) continue;
      path.unshift(bare(key[1] as string));
      within = here.key;
      list = null;
    } else if (key && here.key < within) {
      path.unshift(bare(key[1] as string));
      within = here.key;
    }
    if (here.dash !== null && here.dash < within) {
      path.unshift(0);
      within = here.dash;
      list = here.dash;
    }
  }
  return path;
}

/** Keys at the same depth as `row`, up and down. */
function besides(lines: readonly string[], row: number, lead: Lead): Set<string> {
  const found = new Set<string>();
  for (const step of [-1, 1]) {
    if (step < 0 && lead.dash !== null) continue;
    for (let at = row + step; at >= 0 && at < lines.length; at += step) {
      const line = lines[at] ?? "";
      if (!line.trim() || line.trimStart().startsWith("#")) continue;
      const here = leading(line);
      if (here.key < lead.key || (step > 0 && here.dash !== null && here.key === lead.key)) break;
      const key = here.key === lead.key ? KEY.exec(line.slice(here.key)) : null;
      if (key) found.add(bare(key[1] as string));
      if (step < 0 && here.dash !== null && here.key === lead.key) break;
    }
  }
  return found;
}

/** The line in which the bracket that is open at the place was opened; `row` where none is. */
function flowStart(lines: readonly string[], row: number, column: number): number {
  let open = balance((lines[row] ?? "").slice(0, column));
  if (open > 0) return row;
  for (let at = row - 1; at >= Math.max(0, row - FLOW); at -= 1) {
    open += balance(lines[at] ?? "");
    if (open > 0) return at;
  }
  return row;
}

function opens(text: string): boolean {
  return balance(text) > 0;
}

/** Brackets opened less brackets closed, outside of quotes and comments. */
function balance(text: string): number {
  let open = 0;
  for (const { sign } of signs(text)) open += sign === "{" || sign === "[" ? 1 : sign === "}" || sign === "]" ? -1 : 0;
  return open;
}

/** Signs of flow style and where they stand; quotes and comments are passed over. */
function* signs(text: string): Generator<{ sign: string; at: number }> {
  let quote = "";
  for (let at = 0; at < text.length; at += 1) {
    const sign = text[at] as string;
    const fresh = at === 0 || /[\s{[,:]/.test(text[at - 1] as string);
    if (quote) {
      if (sign === quote) quote = "";
    } else if ((sign === '"' || sign === "'") && fresh) quote = sign;
    else if (sign === "#" && (at === 0 || /\s/.test(text[at - 1] as string))) {
      while (at + 1 < text.length && text[at + 1] !== "\n") at += 1;
    } else if ("{}[],".includes(sign) || (sign === ":" && /^(\s|$)/.test(text.slice(at + 1, at + 2)))) yield { sign, at };
  }
}

interface Level {
  readonly list: boolean;
  key: string | null;
  from: number;
  readonly keys: Set<string>;
}

/** The place at the end of `text`, which begins in block style and has a bracket open. */
function flowPlace(text: string): Place {
  const levels: Level[] = [];
  const outer: Step[] = [];
  for (const { sign, at } of signs(text)) {
    const level = levels.at(-1);
    if (sign === "{" || sign === "[") levels.push({ list: sign === "[", key: null, from: at + 1, keys: new Set() });
    else if (sign === "}" || sign === "]") levels.pop();
    else if (sign === ":" && !level) outer.push(bare(text.slice(0, at).trim()));
    else if (sign === ":" && level && !level.list) {
      level.key = bare(text.slice(level.from, at).trim());
      level.keys.add(level.key);
      level.from = at + 1;
    } else if (sign === "," && level) {
      level.key = null;
      level.from = at + 1;
    }
  }
  const path: Step[] = [...outer];
  levels.forEach((level, depth) => {
    const step = level.list ? 0 : level.key;
    if (step !== null && (depth < levels.length - 1 || level.list || level.key !== null)) path.push(step);
  });
  const last = levels.at(-1) as Level;
  const word = text.slice(last.from);
  const from = text.length - word.trimStart().length;
  return { path, at: last.list || last.key !== null ? "value" : "key", from, beside: last.keys };
}

function bare(key: string): string {
  const quote = key[0];
  return (quote === '"' || quote === "'") && key.endsWith(quote) && key.length > 1 ? key.slice(1, -1) : key;
}
