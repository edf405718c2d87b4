// A sentence of the server: what stands in backquotes is text of the file.

export function Marked({ text }: { readonly text: string }) {
  return <>{text.split("`").map((part, at) => (at % 2 ? <code key={at}>{part}</code> : part))}</>;
}
