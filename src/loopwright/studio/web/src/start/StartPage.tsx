// All projects of the folder, and examples to start from.
import { signal } from "@preact/signals";
import { useEffect, useState } from "preact/hooks";
import { ask } from "../api/http";
import type { FileEntry, Studio } from "../messages";
import { Part } from "../parts/Part";
import { sentence } from "../state/document";
import { address, go } from "../state/route";

const studio = signal<Studio | null>(null);
const entries = signal<readonly FileEntry[] | null>(null);

export function StartPage() {
  const [fault, setFault] = useState("");
  useEffect(() => {
    Promise.all([ask<Studio>("GET", "/api/studio"), ask<FileEntry[]>("GET", "/api/files")]).then(
      ([told, files]) => {
        studio.value = told;
        entries.value = files;
      },
      (refusal: unknown) => setFault(sentence(refusal)),
    );
  }, []);

  async function begin(from: string): Promise<void> {
    try {
      const made = await ask<FileEntry>("POST", "/api/files", { name: freeName(from), source: from });
      go("project", made.file);
    } catch (refusal) {
      setFault(sentence(refusal));
    }
  }

  return (
    <div class="start">
      <h1>Projects {studio.value && <span class="soft">in {studio.value.folder}</span>}</h1>
      {fault && (
        <p class="note alarm" role="alert">
          {fault}
        </p>
      )}
      <Part name="Here" note={entries.value && `${entries.value.length}`}>
        {entries.value?.length === 0 && <p class="soft">No project yet. Begin with one of those below.</p>}
        <ul class="tiles">
          {entries.value?.map((entry) => (
            <li key={entry.file}>
              <a class="tile" href={address("project", entry.file)}>
                <strong>{entry.title || entry.file}</strong>
                <span class="soft">
                  {entry.file}
                  {entry.layout ? ", with a layout of its own" : ""}
                </span>
              </a>
            </li>
          ))}
        </ul>
      </Part>
      <Part name="Begin" note="a copy goes into the folder">
        <ul class="tiles">
          {studio.value?.examples.map((example) => (
            <li key={example.name}>
              <button class="tile" onClick={() => void begin(example.name)}>
                <strong>{example.title}</strong>
                <span class="soft">{example.about}</span>
              </button>
            </li>
          ))}
        </ul>
      </Part>
    </div>
  );
}

/** A name for a copy of `from` that no file here has. */
function freeName(from: string): string {
  const taken = new Set(entries.value?.map((entry) => entry.file));
  const stem = from.replace(/\.yaml$/, "");
  let name = `${stem}.yaml`;
  for (let count = 2; taken.has(name); count += 1) name = `${stem}-${count}.yaml`;
  return name;
}
