// Tables that come as files: read here, looked at before anything is changed.
import { trouble } from "../state/document";
import { incoming } from "./view";
import type { Incoming } from "./view";

/** Largest table that is read [bytes]; the server takes no larger one. */
const MOST = 5_000_000;

export async function offerTables(files: readonly File[]): Promise<void> {
  const found: Incoming[] = [];
  for (const file of files) {
    if (file.size > MOST) trouble.value = `${file.name} is too long for a table: it may have ${MOST / 1e6} MB.`;
    else found.push({ name: file.name, table: decoded(await file.arrayBuffer()) });
  }
  incoming.value = [...incoming.value, ...found];
}

/** Text in UTF-8 or, where it is none, in Windows-1252, as office programs write it. */
function decoded(bytes: ArrayBuffer): string {
  try {
    return new TextDecoder("utf-8", { fatal: true }).decode(bytes);
  } catch {
    return new TextDecoder("windows-1252").decode(bytes);
  }
}
