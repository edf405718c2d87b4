// What the studio and its papers are not; the words of the report, a test compares.

export const LEAD = "This is a planning aid. It is no safety document and no release for building.";

export const POINTS: readonly string[] = [
  "Every number follows from the project file. Where the file differs from the real equipment, so does the block.",
  "The simulation moves units by fixed rules; people, wear, dirt and weather are not in it.",
  "Before anything is built or started, guarding, emergency stops, lock-out, walkways, loads and electrical work have to be settled by those who answer for them: the local codes and licensed engineers decide, not this report.",
  "Never reach into a belt, picker or station to clear a jam before it is locked out.",
];
