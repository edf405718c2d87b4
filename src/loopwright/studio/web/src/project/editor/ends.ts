// The editor knows one kind of line end; the file keeps its own.
import { text } from "../../state/document";

export function plain(whole: string): string {
  return whole.includes("\r") ? whole.replace(/\r\n?/g, "\n") : whole;
}

/** `whole` with the line ends that the open text has. */
export function withEnds(whole: string): string {
  return text.peek().includes("\r\n") ? whole.replace(/\n/g, "\r\n") : whole;
}
