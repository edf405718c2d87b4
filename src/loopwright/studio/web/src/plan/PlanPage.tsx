// How much of everything: the plan of the file, and what another demand or other weights would do.
import "./plan.css";
import { useEffect } from "preact/hooks";
import { FindingList } from "../parts/FindingList";
import { Part } from "../parts/Part";
import { Unsound } from "../parts/Unsound";
import { showFinding } from "../project/go";
import { loaded, sound } from "../state/document";
import { FlowPart } from "./FlowPart";
import { Levers } from "./Levers";
import { LimitPart } from "./LimitPart";
import { BeltPart, KindPart, MaterialPart, ProcessPart } from "./PlanTables";
import { SumPart } from "./SumPart";
import { base, flow, followPlan, ofFile, shownPlan, source, trying } from "./trial";

export function PlanPage() {
  useEffect(followPlan, []);
  const told = shownPlan.value;
  const asked = source.value;
  return (
    <div class="plan-page">
      <h1 class="unseen">Plan of {loaded.value}</h1>
      <Unsound old={told !== null} />
      {ofFile.fault.value && (
        <p class="note alarm" role="alert">
          {ofFile.fault.value}
        </p>
      )}
      {!told && sound.value && !asked.fault.value && <p class="soft">{asked.late.value ? "Planning" : ""}</p>}
      {told && (
        <div class="plan-columns">
          <Levers />
          <div class="plan-parts">
            {told.plan ? (
              <>
                <SumPart plan={told.plan} before={trying.value ? (base.value?.plan ?? null) : null} />
                <FlowPart svg={flow.value} />
                <ProcessPart plan={told.plan} titles={told.titles} before={trying.value ? (base.value?.plan ?? null) : null} />
                <LimitPart plan={told.plan} explain={told.explain} />
                <MaterialPart plan={told.plan} titles={told.titles} />
                <div class="plan-pair">
                  <BeltPart plan={told.plan} titles={told.titles} />
                  <KindPart plan={told.plan} />
                </div>
              </>
            ) : (
              <Part name="No plan meets this demand" note="each line says what would have to give">
                <FindingList findings={told.findings} show={showFinding} />
              </Part>
            )}
            {told.plan && told.findings.length > 0 && (
              <Part name="To look at">
                <FindingList findings={told.findings} show={showFinding} />
              </Part>
            )}
          </div>
        </div>
      )}
    </div>
  );
}
