// Colours by role, as the sheet has them now.

/** The colour of a role, such as "ink" or "material3". */
export type Colours = (role: string) => string;

/** The colours of the page's variables. */
export function readColours(): Colours {
  const style = getComputedStyle(document.documentElement);
  const known = new Map<string, string>();
  return (role) => {
    let value = known.get(role);
    if (value === undefined) {
      value = style.getPropertyValue(`--${role}`).trim() || "#808080";
      known.set(role, value);
    }
    return value;
  };
}

/** A colour "#rrggbb" as parts from 0 to 1. */
export function parts(colour: string): [number, number, number] {
  const value = parseInt(colour.slice(1), 16) || 0;
  return [((value >> 16) & 255) / 255, ((value >> 8) & 255) / 255, (value & 255) / 255];
}
