// The frame of every page: the line of stages above, the title block below.
import { lazy, Suspense } from "preact/compat";
import type { ComponentType } from "preact";
import { present } from "../state/jobs";
import { stage } from "../state/route";
import type { Stage } from "../state/route";
import { Stages } from "./Stages";
import { TitleBlock } from "./TitleBlock";

const PAGES: Record<Stage | "start", ComponentType> = {
  start: lazy(() => import("../start/StartPage").then((m) => m.StartPage)),
  project: lazy(() => import("../project/ProjectPage").then((m) => m.ProjectPage)),
  plan: lazy(() => import("../plan/PlanPage").then((m) => m.PlanPage)),
  block: lazy(() => import("../block/BlockPage").then((m) => m.BlockPage)),
  floor: lazy(() => import("../floor/FloorPage").then((m) => m.FloorPage)),
  proof: lazy(() => import("../proof/ProofPage").then((m) => m.ProofPage)),
  stress: lazy(() => import("../stress/StressPage").then((m) => m.StressPage)),
  compare: lazy(() => import("../compare/ComparePage").then((m) => m.ComparePage)),
  report: lazy(() => import("../report/ReportPage").then((m) => m.ReportPage)),
};

/** Pages that fill the window and scroll inside. */
const FULL: readonly string[] = ["floor", "project"];

export function Shell() {
  const Page = PAGES[stage.value];
  return (
    <div class="shell">
      <Stages />
      <main id="page" class={FULL.includes(stage.value) ? "page full" : "page"} tabIndex={-1}>
        {!present.value && (
          <div class="away" role="alert">
            The studio does not answer. Nothing is lost: it goes on when it is started again.
          </div>
        )}
        <Suspense fallback={<p class="soft">…</p>}>
          <Page />
        </Suspense>
      </main>
      <TitleBlock />
    </div>
  );
}
