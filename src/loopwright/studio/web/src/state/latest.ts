// The newest answer to a question that is asked again and again.
import { batch, signal } from "@preact/signals";
import { ask, Refusal } from "../api/http";
import type { Finding } from "../messages";
import { sentence } from "./document";

/** A question is late when it takes longer than this [ms]; only then is it shown to be under way. */
const LATE = 250;
/** A question that is older than this is given up for a newer one [ms]; a younger one may still end,
 *  so that answers keep coming while a slider is drawn along. */
const STALE = 2000;

interface Question {
  readonly file: string;
  readonly body: object;
  readonly halt: AbortController;
  readonly begun: number;
}

export class Latest<Answer> {
  /** The answer that came last; it stays while a newer question is under way. */
  readonly answer = signal<Answer | null>(null);
  /** Which file `answer` is of. */
  readonly of = signal("");
  /** Time from the question to its answer, as it is felt here [ms]. */
  readonly took = signal(0);
  readonly late = signal(false);
  readonly fault = signal("");
  readonly findings = signal<readonly Finding[]>([]);
  private asked = "";
  private going: Question | null = null;
  private next: { readonly file: string; readonly body: object } | null = null;

  constructor(private readonly path: string) {}

  /** Ask about `file`, unless the very same was asked last. */
  ask(file: string, body: Readonly<Record<string, unknown>>): void {
    const question = JSON.stringify({ file, ...body });
    if (question === this.asked) return;
    this.asked = question;
    if (this.of.peek() !== file) this.answer.value = null;
    if (this.going && this.going.file === file && performance.now() - this.going.begun < STALE) {
      this.next = { file, body };
    } else void this.follow(file, body);
  }

  private goOn(): void {
    if (this.next) void this.follow(this.next.file, this.next.body);
  }

  private async follow(file: string, body: object): Promise<void> {
    this.going?.halt.abort();
    this.next = null;
    const here: Question = { file, body, halt: new AbortController(), begun: performance.now() };
    this.going = here;
    const timer = window.setTimeout(() => (this.late.value = true), LATE);
    try {
      const told = await ask<Answer>("POST", this.path, { file, ...body }, here.halt.signal);
      batch(() => {
        this.answer.value = told;
        this.of.value = file;
        this.took.value = performance.now() - here.begun;
        this.fault.value = "";
        this.findings.value = [];
      });
    } catch (refusal) {
      if (here.halt.signal.aborted) return;
      this.asked = "";
      batch(() => {
        this.fault.value = sentence(refusal);
        this.findings.value = refusal instanceof Refusal ? refusal.findings : [];
      });
    } finally {
      window.clearTimeout(timer);
      if (this.going === here) {
        this.going = null;
        this.late.value = false;
        this.goOn();
      }
    }
  }
}
