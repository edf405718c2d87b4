export function ProjectPage() {
  return <p class="soft">This page is not drawn yet.</p>;
}
