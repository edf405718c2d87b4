export function PlanPage() {
  return <p class="soft">This page is not drawn yet.</p>;
}
