// All projects of the folder, and examples to start from.
import "./start.css";
import { signal } from "@preact/signals";
import { useEffect, useState } from "preact/hooks";
import { ask, filePath } from "../api/http";
import type { Example, FileEntry, Studio } from "../messages";
import { Drawing } from "../parts/Drawing";
import { Part } from "../parts/Part";
import { folderNews, sentence } from "../state/document";
import { address, go } from "../state/route";
import { NameDialog } from "./NameDialog";

const studio = signal<Studio | null>(null);
const entries = signal<readonly FileEntry[] | null>(null);

/** What a name is asked for. */
interface Question {
  readonly title: string;
  readonly action: string;
  readonly name: string;
  /** Does it, and says which file it is then. */
  readonly carryOut: (name: string) => Promise<FileEntry>;
  readonly open: boolean;
}

export function StartPage() {
  const [fault, setFault] = useState("");
  const [question, setQuestion] = useState<Question | null>(null);
  const news = folderNews.value;

  useEffect(() => {
    ask<Studio>("GET", "/api/studio").then(
      (told) => (studio.value = told),
      (refusal: unknown) => setFault(sentence(refusal)),
    );
  }, []);
  useEffect(() => {
    const halt = new AbortController();
    ask<FileEntry[]>("GET", "/api/files", undefined, halt.signal).then(
      (files) => {
        entries.value = files;
        setFault("");
      },
      (refusal: unknown) => {
        if (!halt.signal.aborted) setFault(sentence(refusal));
      },
    );
    return () => halt.abort();
  }, [news]);

  const begin = (source: string, title: string) =>
    setQuestion({
      title: `New project: ${title}`,
      action: "Begin",
      name: freeName(source === "starter" ? "project" : source),
      carryOut: (name) => ask<FileEntry>("POST", "/api/files", { name, source }),
      open: true,
    });
  const copy = (entry: FileEntry) =>
    setQuestion({
      title: `Copy of ${entry.file}`,
      action: "Copy",
      name: freeName(entry.file),
      carryOut: (name) => ask<FileEntry>("POST", "/api/files", { name, source: entry.file }),
      open: false,
    });
  const rename = (entry: FileEntry) =>
    setQuestion({
      title: `Another name for ${entry.file}`,
      action: "Rename",
      name: entry.file,
      carryOut: (name) => ask<FileEntry>("POST", `${filePath(entry.file)}/rename`, { name }),
      open: false,
    });

  async function carryOut(name: string): Promise<void> {
    if (!question) return;
    const made = await question.carryOut(name);
    setQuestion(null);
    folderNews.value += 1;
    if (question.open) go("project", made.file);
  }

  return (
    <div class="start">
      <h1>Projects {studio.value && <span class="soft">in {studio.value.folder}</span>}</h1>
      {fault && (
        <p class="note alarm" role="alert">
          {fault}
        </p>
      )}
      <Part name="Here" {...(entries.value ? { note: `${entries.value.length}` } : {})}>
        {entries.value?.length === 0 && <p class="soft">No project yet. Begin with one of those below.</p>}
        {entries.value && entries.value.length > 0 && <Projects rename={rename} copy={copy} />}
      </Part>
      <Part name="Begin" note="a copy goes into the folder; nothing of yours is changed">
        <ul class="tiles">
          <li>
            <button class="tile" onClick={() => begin("starter", "a small one")}>
              <strong>A small one</strong>
              <span class="soft">A project of a few lines, each with a word on what it is for. For designs of your own.</span>
            </button>
          </li>
          {studio.value?.examples.map((example) => (
            <li key={example.name}>
              <ExampleTile example={example} begin={() => begin(example.name, example.title)} />
            </li>
          ))}
        </ul>
      </Part>
      {question && (
        <NameDialog
          key={question.title}
          title={question.title}
          action={question.action}
          name={question.name}
          carryOut={carryOut}
          leave={() => setQuestion(null)}
        />
      )}
    </div>
  );
}

interface Doing {
  readonly rename: (entry: FileEntry) => void;
  readonly copy: (entry: FileEntry) => void;
}

function Projects({ rename, copy }: Doing) {
  return (
    <div class="scroll">
      <table aria-label="Projects" class="projects">
        <thead>
          <tr>
            <th scope="col">project</th>
            <th scope="col">file</th>
            <th scope="col" class="figure">
              size
            </th>
            <th scope="col">layout</th>
            <th scope="col">revision</th>
            <th scope="col">
              <span class="unseen">what to do with it</span>
            </th>
          </tr>
        </thead>
        <tbody>
          {entries.value?.map((entry) => (
            <tr key={entry.file}>
              <td>
                <a class="title" href={address("project", entry.file)}>
                  {entry.title || entry.file}
                </a>
              </td>
              <td class="soft">{entry.file}</td>
              <td class="figure soft">{(entry.size / 1000).toFixed(1)} kB</td>
              <td class="soft">{entry.layout ? "edited" : "as placed"}</td>
              <td>
                <code class="soft">{entry.digest.replace("sha256:", "").slice(0, 8)}</code>
              </td>
              <td>
                <span class="bar">
                  <button class="plain" aria-label={`Copy ${entry.file}`} onClick={() => copy(entry)}>
                    Copy
                  </button>
                  <button class="plain" aria-label={`Rename ${entry.file}`} onClick={() => rename(entry)}>
                    Rename
                  </button>
                </span>
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}

function ExampleTile({ example, begin }: { readonly example: Example; readonly begin: () => void }) {
  return (
    <button class="tile" onClick={begin}>
      {example.picture && (
        <span class="tile-picture" aria-hidden="true">
          <Drawing svg={example.picture} name="" class="" />
        </span>
      )}
      <strong>{example.title}</strong>
      <span class="soft">{example.about}</span>
    </button>
  );
}

/** A name for a copy of `from` that no file here has. */
function freeName(from: string): string {
  const taken = new Set(entries.value?.map((entry) => entry.file));
  const stem = from.replace(/\.ya?ml$/, "");
  let name = `${stem}.yaml`;
  for (let count = 2; taken.has(name); count += 1) name = `${stem}-${count}.yaml`;
  return name;
}
