// A gate to be tried in place of the file's.

/** Rules of gates, as the model has them; a test compares. */
export const GATES = ["open", "ratio-locked", "counted", "windowed", "scarcest-first", "drained", "sorted"] as const;

interface Props {
  readonly gate: string;
  readonly choose: (gate: string) => void;
}

/** "" stands for the gate of the file. */
export function GateChoice({ gate, choose }: Props) {
  return (
    <label class="choice">
      gate
      <select value={gate} onChange={(event) => choose(event.currentTarget.value)}>
        <option value="">as in the file</option>
        {GATES.map((one) => (
          <option key={one} value={one}>
            {one}
          </option>
        ))}
      </select>
    </label>
  );
}
