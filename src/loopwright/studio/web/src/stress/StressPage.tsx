export function StressPage() {
  return <p class="soft">This page is not drawn yet.</p>;
}
