import "./style/sheet.css";
import "./style/parts.css";
import "./style/shell.css";
import { render } from "preact";
import { Shell } from "./shell/Shell";
import { listen } from "./state/jobs";

const root = document.getElementById("studio");
if (root) {
  listen();
  render(<Shell />, root);
}
