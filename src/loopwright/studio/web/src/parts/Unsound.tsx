// What stands above a page whose file has errors.
import { checked, errors, ready, text, trouble } from "../state/document";
import { address } from "../state/route";

export function Unsound({ old }: { /** Whether something of before is shown below. */ readonly old: boolean }) {
  if (!ready.value) return old ? null : <p class="soft">{trouble.value || "Reading the file"}</p>;
  if (errors.value === 0 || checked.value !== text.value) return null;
  const count = errors.value === 1 ? "an error" : `${errors.value} errors`;
  return (
    <p class="note warn">
      The file has {count}. <a href={address("project")}>Go to the Project page</a> to see what and where.
      {old && " What is shown below is of the text before."}
    </p>
  );
}
