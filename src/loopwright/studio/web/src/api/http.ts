// Calls to the server: JSON in, JSON out; a refusal becomes an error that says what to do.
import type { Finding } from "../messages";

/** The server said no: `status` of HTTP, a sentence, and what it found, if anything. */
export class Refusal extends Error {
  constructor(
    readonly status: number,
    message: string,
    readonly findings: readonly Finding[] = [],
    readonly body: unknown = null,
  ) {
    super(message);
  }
}

/** Ask the server; `signal` gives up. Throws `Refusal`, with status 0 where nobody answers. */
export async function ask<T>(
  method: "GET" | "POST" | "PUT" | "DELETE",
  path: string,
  body?: unknown,
  signal?: AbortSignal,
): Promise<T> {
  const request: RequestInit = { method, credentials: "same-origin" };
  if (signal) request.signal = signal;
  if (body !== undefined) {
    request.body = JSON.stringify(body);
    request.headers = { "content-type": "application/json" };
  }
  let answer: Response;
  try {
    answer = await fetch(path, request);
  } catch (fault) {
    if (fault instanceof DOMException && fault.name === "AbortError") throw fault;
    throw new Refusal(0, "The studio does not answer. Is it still running in its terminal?");
  }
  const text = await answer.text();
  const told = parsed(text);
  if (!answer.ok) {
    const entries = (told ?? {}) as { error?: string; findings?: Finding[] };
    throw new Refusal(answer.status, entries.error ?? answer.statusText, entries.findings, told);
  }
  return told as T;
}

/** The path of a file of the folder. */
export function filePath(file: string): string {
  return `/api/files/${encodeURIComponent(file)}`;
}

function parsed(text: string): unknown {
  try {
    return text ? JSON.parse(text) : null;
  } catch {
    return null;
  }
}
