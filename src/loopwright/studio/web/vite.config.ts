import { defineConfig } from "vite";

// Preact is what JSX becomes; the bundle goes where the server serves it from.
export default defineConfig({
  base: "/",
  oxc: { jsx: { runtime: "automatic", importSource: "preact" } },
  build: {
    outDir: "../static",
    emptyOutDir: true,
    assetsInlineLimit: 0,
    target: "es2022",
    modulePreload: { polyfill: false },
    reportCompressedSize: false,
  },
});
