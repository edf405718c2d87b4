// How is it shown to others? Papers, drawings, tables and a short animation, made on the server.
import "./report.css";
import { useEffect } from "preact/hooks";
import type { Job } from "../messages";
import { Part } from "../parts/Part";
import { Unsound } from "../parts/Unsound";
import { Refused, Stamp } from "../parts/Work";
import { jobFile } from "../state/jobs";
import { jobsOf } from "../state/work";
import { LEAD, POINTS } from "./caution";
import { FilmPart } from "./Film";
import { Papers, PAPERS } from "./Papers";
import { followScenarios } from "./ScenarioChoice";

export function ReportPage() {
  useEffect(followScenarios, []);
  const report = jobsOf("report").find((job) => job.state === "done");
  return (
    <div class="report-page">
      <div class="page-head">
        <h1>Report</h1>
        <span class="soft">What others need to see, build and check</span>
      </div>
      <details class="note">
        <summary>{LEAD}</summary>
        <ul class="caution">
          {POINTS.map((point) => (
            <li key={point}>{point}</li>
          ))}
        </ul>
      </details>
      <Unsound old={report !== undefined} />
      <Refused kinds={[...PAPERS.map((paper) => paper.kind), "film"]} />
      <div class="parts">
        <Part name="Papers" note="made in the background; they stay until they are made anew">
          <Papers />
        </Part>
        <FilmPart />
        {report && <Framed job={report} />}
      </div>
    </div>
  );
}

/** The report as it will be sent, shut off from the studio. */
function Framed({ job }: { job: Job }) {
  const page = job.files.find((one) => one.name.endsWith(".html"));
  if (!page) return null;
  const address = `${jobFile(job.id, page.name)}?show=1`;
  return (
    <Part
      name="The report"
      note={<Stamp job={job} />}
      tools={
        <a class="button" href={address} target="_blank" rel="noopener">
          Open in a tab
        </a>
      }
    >
      <iframe class="framed" title="The report" sandbox="allow-scripts" src={address} loading="lazy" />
    </Part>
  );
}
