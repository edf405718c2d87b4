// The plan in one line: stations, power, effort and cost, and what they were before.
import type { Plan } from "../messages";
import { Changed } from "../parts/Figure";
import { shown, valueOf } from "../parts/figure";
import { Part } from "../parts/Part";

interface Props {
  readonly plan: Plan;
  /** The plan of the file, while another is tried. */
  readonly before: Plan | null;
}

export function SumPart({ plan, before }: Props) {
  const figures: [string, (of: Plan) => number | string, string][] = [
    ["stations, whole", whole, ""],
    ["stations, exact", exact, ""],
    ["power", (of) => of.power, "kW"],
    ["effort", (of) => of.effort, ""],
    ["cost that is kept small", (of) => of.cost, ""],
  ];
  return (
    <Part name="In sum" note={before ? "file → trial" : "as the file has it"}>
      <dl class="sums">
        {figures.map(([name, of, unit]) => (
          <div key={name}>
            <dt>{name}</dt>
            <dd>
              <Changed from={before ? of(before) : undefined} to={of(plan)} /> {unit}
            </dd>
          </div>
        ))}
        <div>
          <dt>room to grow</dt>
          <dd>{plan.headroom ? `${shown(plan.headroom.factor)} times` : "no limit in the file"}</dd>
        </div>
      </dl>
    </Part>
  );
}

function whole(plan: Plan): number {
  return plan.processes.reduce((sum, one) => sum + one.whole, 0);
}

function exact(plan: Plan): number {
  const sum = plan.processes.reduce((total, one) => total + (valueOf(one.stations) ?? 0), 0);
  return Math.round(sum * 1e6) / 1e6;
}
